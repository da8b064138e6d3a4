# Was die Planung zu einer Reihe sagt: bevor etwas eingegossen wird, und wenn ein Wunsch nicht geht.
# Der Schlüssel ist der Code des Befunds; `.do` sagt, was jetzt zu tun ist.

## Das Gas, vor allem anderen

gas-poisonous = Das Gas dieser Reihe, { $named }, ist giftig{ $limit_known ->
    [yes] {" "}(Grenzwert am Arbeitsplatz { $limit })
   *[no] {""}
    }. { $made } Über dem Gefäß ist das Gas unverdünnt.
gas-above-limit = Das Gas dieser Reihe, { $named }, überschreitet seinen Grenzwert{ $limit_known ->
    [yes] {" "}von { $limit }
   *[no] {""}
    }. { $made }
gas-limit-unknown = Das Gas dieser Reihe ist { $named }. Ein Grenzwert am Arbeitsplatz ist dafür hier nicht bekannt. { $made }
gas-made = { $groups ->
    [one] Eine Gruppe entwickelt
   *[other] { $groups } Gruppen entwickeln
    } bis zu { SIG($volume_L, digits: 2, unit: "L") }; verteilt in einem Raum von { SIG($room_m3, unit: "m³") } sind das { $share } der Luft.
gas-undecided = Nichts eingießen. Nur die verantwortliche Person kann entscheiden, ob das überhaupt gemacht wird, und wo: in der Regel im Abzug, als Vorführung oder gar nicht. Vorher die Sicherheitsdatenblätter und die örtlichen Regeln prüfen. Blätter für Schülerinnen und Schüler werden erst gemacht, wenn in der Definition steht, wer entschieden hat ([prepare.gas_decision]).
gas-decided = Entschieden von { $by } am { $on }: { $why }. Nur so durchführen, und nur, wenn diese Person dabei ist.
gas-burns = Das Gas, { $named }, ist entzündbar: In Luft brennt es ab { $from }.
    .do = Keine Flamme, kein Funke, keine Heizplatte im Raum{ $light ->
    [yes] . Ein Fenster oben öffnen: Das Gas sammelt sich unter der Decke
   *[no] {""}
    }.
vessel-closed = { $n ->
    [one] Ansatz { $runs } wird
   *[other] Die Ansätze { $runs } werden
    } in einem geschlossenen Gefäß gewogen. Das Gas kann { FIX($gas_kPa, decimals: 0, unit: "kPa") } über dem Luftdruck erreichen; das Gefäß ist für { SIG($rated_kPa, digits: 6, unit: "kPa") } ausgewiesen.
    .do = { only-rated } Schutzbrille und Schutzscheibe. Nie mehr Probe nehmen als verlangt. Das Gas erst nach der letzten Wägung ablassen, und langsam. Die verantwortliche Person entscheidet.
only-rated = Nie ein Glasgefäß oder einen Becher verschließen; nur ein Gefäß verschließen, das der Hersteller für den Druck ausweist.
caution-always = Schutzbrille auf. Säure ins Wasser. Nie ein Gefäß abdecken oder verschließen, in dem Gas entsteht. Die verantwortliche Person entscheidet.

gas-named = { $name } ({ $formula })
part-percent = { PERCENT($part, digits: 2) }
part-ppm = { SIG($part_ppm, unit: "ppm") }

## Die Reihe

too-few-runs = { $n ->
    [one] Ein einziger Ansatz
   *[other] Eine Reihe von { $n } Ansätzen
    } kann keinen Äquivalenzpunkt zeigen.
    .do = Mindestens { $fewest } Ansätze planen, zwei auf jeder Seite des Äquivalenzpunkts.
change-over-outside = Der Äquivalenzpunkt liegt bei { $at }, { $side ->
    [beyond] hinter dem letzten Gefäß
    [before] vor dem ersten Gefäß
    [smaller] unter der kleinsten Portion
   *[larger] über der größten Portion
    } ({ $end }). In allen Gefäßen würde { $limits ->
    [reagent] das Reagenz
   *[sample] die Probe
    } begrenzen.
change-over-near-edge = Der Äquivalenzpunkt kann zwischen { $low } und { $high } liegen. { $few ->
    [0] Kein Gefäß liegt { $there }. Bei den { $limits ->
        [reagent] höchsten Gehalten würde das Reagenz
       *[sample] niedrigsten Gehalten würde die Probe
    } in jedem Gefäß begrenzen, und die Reihe zeigte keinen Äquivalenzpunkt.
    [one] Nur ein Gefäß liegt { $there }.
   *[other] Nur { $few } Gefäße liegen { $there }.
    }
side-beyond = dahinter
side-before = davor
side-smaller = darunter
side-larger = darüber
volume-not-readable = { $instrument }: Darauf lassen sich { $volumes } mL { $liquid } nicht ablesen.
    .do = { $nearest } mL nehmen oder eine Reihe aus der Tabelle der Reihen wählen.
ware-filled-twice = { SIG($volume_mL, unit: "mL") } { $liquid } passen nicht auf einmal hinein ({ $instrument }). Man muss { $times ->
    [2] zweimal
   *[other] { $times }-mal
    } füllen, und jedes Mal bleibt etwas Flüssigkeit zurück.
    .do = Ein größeres Messgefäß nehmen. Oder die Füllungen mit + dazwischen aufschreiben, wie 20 + 15.
liquid-reagent = Reagenz
liquid-diluent = Wasser
strength-not-sure = Die Definition sagt nicht, wie gut die Konzentration der Stammlösung bekannt ist. Der Plan nimmt sie als genau an; das erwartete ± ist darum zu klein.
    .do = relative_u oder tolerance_percent angeben oder die Stammlösung titrieren.
content-unknown = Für diese Probe ist kein Gehalt angegeben. Die Reihe ist darum für alles von { PERCENT($low, digits: 2) } bis { PERCENT($high, digits: 2) } geplant.
    .do = Steht der Gehalt auf einem Etikett, ihn als claimed_mass_fraction angeben. Dann kann die Reihe enger sein.
acid-of-the-sample = { $cup ->
    [there] Ansatz { $bare } enthält keine Stammlösung ({ $reagent }). Das { $gas }, das dort entweicht, stammt allein von der Säure der Probe; jede Zugabe fügt bis { $up_to } etwas hinzu.
   *[missing] Die Probe bringt eigene Säure mit. Wie viel, weiß niemand, und kein Gefäß zeigt sie allein.
    }
    .do = { $cup ->
    [there] Dieses Gefäß behalten: Kein anderes unterscheidet die Säure der Probe von der eingegossenen.
   *[missing] Ein Gefäß ohne Stammlösung ({ $reagent }) planen: Was dort entweicht, bewirkt diese Säure.
    }
content-stays-unsure = Nach dieser Reihe wäre der Gehalt bestenfalls auf ±{ SIG($u_content_percent, digits: 2, unit: "%") } bekannt (Standardunsicherheit). Das sind { SIG($relative_u_percent, digits: 2, unit: "%") } des erwarteten Gehalts: { $severe ->
    [yes] Die Reihe kann nicht zeigen, wie viel die Probe enthält.
   *[no] Die Reihe sagt wenig über die Probe.
    }

## Am Arbeitsplatz

sample-too-small-for-balance = Eine Portion von { SIG($sample_g, digits: 6, unit: "g") } ist auf dieser Waage ({ $balance }) bestenfalls auf { PERCENT($relative, digits: 2) } bekannt (zwei Standardabweichungen).
mass-lost-too-small = Kein Gefäß verliert mehr als { SIG($largest_loss_g, digits: 2, unit: "g") }. Das ist nur das { SIG($loss_over_u, digits: 2) }-fache dessen, was die Waage auflöst (u = { SIG($u_loss_g, digits: 2, unit: "g") }).
water-rivals-gas = Im Gefäß mit dem meisten Gas entweichen etwa { SIG($water_mg, digits: 2, unit: "mg") } Wasser als Dampf und durch Verdunsten neben { SIG($gas_mg, digits: 2, unit: "mg") } { $gas }. { $hides ->
    [yes] Der Massenverlust kann nicht zeigen, wie viel die Probe enthält.
   *[no] Der Gehalt ist dadurch weniger sicher.
    }
    .do = Wägen, sobald das Sprudeln aufhört, mehr Flüssigkeit nehmen, damit sie kühl bleibt, oder einen Kolben mit engem Hals nehmen. Bei einem leichten Gas sagt das Volumen mehr als die Masse.
vessel-foams-over = { SIG($liquid_mL, unit: "mL") } Flüssigkeit und etwa { SIG($foam_mL, unit: "mL") } Schaum (Faustregel) passen nicht in das Gefäß ({ $vessel }, { SIG($capacity_mL, unit: "mL") }). Was überschäumt, ist verloren und zählt als Gas.
vessel-rather-full = { SIG($liquid_mL, unit: "mL") } Flüssigkeit lassen im Gefäß ({ $vessel }, { SIG($capacity_mL, unit: "mL") }) nur { SIG($free_mL, unit: "mL") } frei. Üblich ist über der Flüssigkeit so viel Platz, wie sie selbst einnimmt.
sample-does-not-dissolve = Im Gefäß mit dem wenigsten Reagenz bleiben { SIG($left_g, digits: 2, unit: "g") } { $analyte } übrig, aber { $total } Wasser lösen nur etwa { SIG($holds_g, digits: 2, unit: "g") } (bei 20 °C).
balance-overloaded = Flüssigkeit und Probe allein wiegen { SIG($contents_g, unit: "g") }. Die Waage ({ $balance }) trägt höchstens { SIG($capacity_g, digits: 6, unit: "g") }.
    .do = Weniger Flüssigkeit je Gefäß oder eine Waage nehmen, die mehr trägt.
empty-vessel-at-most = Die Waage ({ $balance }) trägt bis zu { SIG($capacity_g, digits: 6, unit: "g") }; das leere Gefäß darf also bis zu { SIG($empty_g, unit: "g") } wiegen.
    .do = Vor der Stunde ein leeres Gefäß wägen.

## Was man stattdessen nimmt

plan-volume = { SIG($volume_mL, unit: "mL") }
plan-volume-exact = { SIG($volume_mL, digits: 6) }
plan-portion = { SIG($sample_g, unit: "g") } Probe
plan-balance = eine { SIG($step_g) }-g-Waage
plan-use-any = Stattdessen nehmen: { ANY($ways) }.
plan-larger-amounts = mehr Probe und eine entsprechend stärkere Stammlösung
remedy-any = Stattdessen nehmen: { ANY($ways) } ({ $n ->
    [one] mit
   *[other] jedes für sich mit
    } dem vollen Modell geprüft).
remedy-none = Keine einzelne Änderung an Stammlösung, Probe, Reihe oder Gefäß behebt das. Zwei zugleich ändern.
remedy-stock = { $name } mit { SIG($strength_mol_per_L, digits: 6, unit: "mol/L") }
remedy-sample = { SIG($sample_g, digits: 6, unit: "g") } Probe
remedy-sample-and-row = { SIG($sample_g, digits: 6, unit: "g") } Probe mit einer Reihe von { SIG($first_mL, digits: 6) } bis { SIG($last_mL, digits: 6, unit: "mL") }
remedy-row = eine Reihe von { SIG($first_mL, digits: 6) } bis { SIG($last_mL, digits: 6, unit: "mL") } in Schritten von { SIG($step_mL, digits: 6, unit: "mL") }
remedy-vessel = ein Gefäß von { SIG($capacity_mL, digits: 6, unit: "mL") }

upgrade-with-gain = { $what } (verringert die Unsicherheit um { PERCENT($gain, digits: 2) })
upgrade-ware = { $ware }, Klasse A, für { $liquid }
upgrade-balance = { $balance }{ $weighs ->
    [cups] {" "}für die Gefäße
    [sample] {" "}für die Probe
   *[all] {""}
    }
upgrade-strength = eine Stammlösung, deren Konzentration doppelt so gut bekannt ist

variant-as-planned = wie geplant
variant-stock = { $way ->
    [stronger] stärkere
   *[weaker] schwächere
    } Stammlösung, { SIG($strength_mol_per_L, digits: 6, unit: "mol/L") }
variant-sample = { $way ->
    [larger] größere
   *[smaller] kleinere
    } Probe, { SIG($sample_g, digits: 6, unit: "g") }
variant-balance = { $way ->
    [coarser] gröbere
   *[finer] feinere
    } Waage, { SIG($step_g, digits: 6, unit: "g") }
variant-room = { $way ->
    [colder] kälterer
   *[warmer] wärmerer
    } Raum, um { SIG($by_K, unit: "K") }
variant-runs = { $more } Ansätze mehr, gleiche Enden

## Ein Wunsch, der nicht geht

refusal-wish = { $n ->
    [one] { $wished } ist nicht möglich.
   *[other] { $wished } sind zusammen nicht möglich.
    }
refusal-row = { $n ->
    [0] Diese Reihe liegt außerhalb des vollen Modells.
    [one] Diese Reihe liegt in Gefäß { $runs } außerhalb des vollen Modells.
   *[other] Diese Reihe liegt in den Gefäßen { $runs } außerhalb des vollen Modells.
    }
refusal-sample-grows = Eine Reihe, in der die Probe wächst, wird nicht nach Wünschen angelegt. sample_g in der Definition ändern.
refusal-too-few-runs = Mit weniger als zwei Ansätzen auf jeder Seite zeigt eine Reihe keinen Äquivalenzpunkt.
refusal-too-many-runs = Eine Reihe kann höchstens { $most } Ansätze haben.
refusal-no-amount = Es muss eine Zahl über null sein, von { SIG($least) } bis { FIX($most, decimals: 0) }{ $of ->
    [total-volume] {" "}mL
    [sample] {" "}g
    [stock] {" "}mol/L
   *[runs] {""}
    }.
refusal-no-such-solution = Keine Lösung von { $name } ist stärker als { SIG($strongest_mol_per_L, unit: "mol/L") }.
refusal-stronger-than-bottle = { $name } enthält { SIG($strongest_mol_per_L, unit: "mol/L") } und lässt sich nur verdünnen.
refusal-stronger-than-bought = Woraus die Stammlösung gemacht wird, enthält { SIG($strongest_mol_per_L, unit: "mol/L") } und lässt sich nur verdünnen.
refusal-between-steps = Die Waage ({ $balance }) kann diese Masse nicht anzeigen.
refusal-between-pieces = Ein Stück wiegt etwa { SIG($piece_g, digits: 6, unit: "g") }; eine Portion muss darum ein ganzes Vielfaches von { SIG($part_g, digits: 6, unit: "g") } sein.
refusal-vessel-too-small = Das Gefäß ({ $vessel }) fasst nur { SIG($capacity_mL, digits: 6, unit: "mL") }.
refusal-not-measurable = Mit diesen Messgefäßen ({ $ware }) lassen sich { $runs } verschiedene Zugaben, jede mit Wasser auf { SIG($total_mL, digits: 6, unit: "mL") } ergänzt, nicht abmessen.
refusal-out-of-reach = Der Äquivalenzpunkt liegt bei { SIG($low_mL) } bis { SIG($high_mL, unit: "mL") } Reagenz. Mit diesen Messgefäßen und { SIG($total_mL, digits: 6, unit: "mL") } insgesamt kann eine Reihe von { SIG($first_mL, digits: 6) } bis { SIG($last_mL, digits: 6, unit: "mL") } reichen, und sie braucht mindestens zwei Ansätze auf jeder Seite des Äquivalenzpunkts.
refusal-no-room-for-water = Eine so starke Stammlösung lässt keinen Platz für Wasser: Es gibt sie nicht.
refusal-beyond-model = So weit reicht das volle Modell nicht ({ $where }).
refusal-model-ends = Das volle Modell gilt für diese Mengen nicht.
refusal-instead = { $checked ->
    [yes] { $as_defined ->
        [yes] Wenn alles andere wie in der Definition bleibt, geht (mit dem vollen Modell geprüft): { ANY($amounts) }.
       *[no] Stattdessen geht (mit dem vollen Modell geprüft): { ANY($amounts) }.
    }
   *[no] Stattdessen nehmen: { ANY($amounts) }.
    }
refusal-nothing-near = Kein anderer Wert einer einzelnen Menge geht. Zwei zugleich ändern.
refusal-ask-for-less = Weniger verlangen.

## Bevor die Blätter gedruckt werden

row-beyond-model = Die Reihe funktioniert so nicht. { $because }
    .do = Zuerst den Plan dieser Reihe ansehen, erst dann etwas austeilen.
note-withheld = Nicht gemacht und, wo vorhanden, entfernt: { $files }. Sie werden erst gemacht, wenn in der Definition steht, wer entschieden hat, unter [prepare.gas_decision]: by, on, why.
note-hazards-unverified = Ungeprüfte Gefahrenangaben: { $rows }. Mit den Sicherheitsdatenblättern des Lieferanten vergleichen und in der Definition bestätigen ([[prepare.confirmed]]).
note-room-assumed = Die Größe des Raums ist angenommen. volume_m3 und air_changes_per_hour des eigenen Raums in [room] eintragen.
note-time-fits = Die letzte Gruppe ist nach etwa { FIX($end_min, decimals: 0, unit: "min") } fertig. Das passt in die { SIG($lesson_min, unit: "min") } der Stunde.
note-time-balances = Die letzte Gruppe ist nach etwa { FIX($end_min, decimals: 0, unit: "min") } fertig und wartet im Mittel { FIX($wait_min, decimals: 1, unit: "min") } auf eine Waage. Mit { $balances } Waagen wären es { FIX($end_then_min, decimals: 0, unit: "min") }.
note-time-alone = Die letzte Gruppe ist nach etwa { FIX($end_min, decimals: 0, unit: "min") } fertig und wartet im Mittel { FIX($wait_min, decimals: 1, unit: "min") } auf eine Waage. Auch ohne Warten braucht eine Gruppe { FIX($least_min, decimals: 0, unit: "min") }, und die Stunde hat { SIG($lesson_min, unit: "min") }.
note-time-long = Die letzte Gruppe ist nach etwa { FIX($end_min, decimals: 0, unit: "min") } fertig und wartet im Mittel { FIX($wait_min, decimals: 1, unit: "min") } auf eine Waage. Die Stunde hat { SIG($lesson_min, unit: "min") }.
