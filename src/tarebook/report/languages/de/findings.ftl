# Was aufgefallen ist. Der Schlüssel ist der Code des Befunds; `.do` sagt, was jetzt zu tun ist.
# Vor Befunden zu einem Ansatz steht „Ansatz 3:“.

## Einzelne Ablesungen

run-missing = geplant, aber es gibt keine Ablesungen dazu.
    .do = Den Ansatz nachholen, solange alles noch aufgebaut ist, oder aus dem Plan nehmen.
run-not-planned = Es gibt Ablesungen dazu, aber im Plan steht er nicht.
    .do = Nichts, wenn er am Arbeitsplatz dazukam. Sonst den Namen des Ansatzes prüfen.
reading-missing = Nicht abgelesen: { NAME("quantity", $quantity) }.
    .do = Jetzt ablesen, falls das Gefäß noch dasteht. Sonst leer lassen.
reading-impossible = { $why ->
    [too-low] Für „{ NAME("quantity", $quantity) }“ steht { READING($typed, $quantity) }. Das ist unmöglich.
   *[too-much] Für „{ NAME("quantity", $quantity) }“ steht { READING($typed, $quantity) }, mehr als in das Gefäß ({ $vessel }, { SIG($capacity_mL, unit: "mL") }) passt.
    }
    .do = { $why ->
    [too-low] Noch einmal auf das Blatt sehen: Ein Vorzeichen oder eine Ziffer ist falsch.
   *[too-much] Noch einmal auf das Blatt sehen: Eine Ziffer oder das Komma ist falsch. Oder capacity_mL in der Tabelle [vessel] der Definition berichtigen.
    }
liquid-below-tare = Das Gefäß mit Flüssigkeit ist nicht schwerer als das leere Gefäß.
    .do = Das Gefäß noch einmal wägen. Wurde die Waage mit dem Gefäß darauf auf null gestellt?
final-above-start = Am Ende wiegt das Gefäß { SIG($gained_g, unit: "g") } mehr als alles, was hineinkam.
    .do = Noch einmal wägen. Vielleicht ist eine Ziffer falsch, oder es ist das Gefäß eines anderen Ansatzes.
lost-more-than-sample = Es gingen { SIG($lost_g, unit: "g") } verloren. Das ist mehr als die ganze Probe von { SIG($sample_g, unit: "g") } und mehr, als an Gas und Wasser entweichen konnte ({ SIG($left_g, digits: 2, unit: "g") }).
    .do = Wurde etwas verschüttet? Noch einmal wägen und die Ziffern aller vier Massen prüfen.
unit-mixed-up = { $kind ->
    [temperature] { READING($typed, $quantity) } ist keine Raumtemperatur.
   *[other] Für „{ NAME("quantity", $quantity) }“ steht { READING($typed, $quantity) }, etwa tausendmal { $was ->
        [smaller] mehr
       *[larger] weniger
    } als verlangt.
    }
    .do = { $kind ->
    [temperature] Wurde in { $was ->
        [fahrenheit] °F
       *[kelvin] K
    } abgelesen? Das wären { FIX($would_be_C, decimals: 1, unit: "°C") }. In °C aufschreiben.
    [mass] Wurde in { $was ->
        [smaller] Milligramm
       *[larger] Kilogramm
    } abgelesen? In g aufschreiben.
   *[volume] Wurde in { $was ->
        [smaller] Mikroliter
       *[larger] Liter
    } abgelesen? In mL aufschreiben.
    }
temperature-odd = { READING($typed, $quantity) } ist keine Raumtemperatur.
    .do = Die Temperatur in °C aufschreiben.
not-readable = { READING($typed, $quantity) } lässt sich am Messgerät ({ $instrument }) nicht ablesen; sein feinster Schritt ist { SIG($finest_step) }.
    .do = Aufschreiben, was zu sehen war, und nicht genauer; oder das Messgerät in der Definition berichtigen.
read-often = „{ NAME("quantity", $quantity) }“ wurde { $times }-mal abgelesen. Für alle gilt der mittlere Wert, { READING($typed, $quantity) }.
    .do = Nichts, wenn wirklich so oft abgelesen wurde. Sonst zurücknehmen, was keine Ablesung ist.
above-capacity = { $capacity ->
    [balance] { READING($typed, $quantity) } sind mehr, als die Waage ({ $instrument }) anzeigen kann ({ SIG($capacity_g, unit: "g") }).
   *[ware] { READING($typed, $quantity) } sind mehr, als das Messgefäß ({ $instrument }) fasst ({ SIG($capacity_mL, unit: "mL") }).
    }
    .do = { $capacity ->
    [balance] Noch einmal auf das Blatt sehen: Eine Ziffer oder das Komma ist falsch. Oder capacity_g in der Definition berichtigen.
   *[ware] Wurde in mehreren Füllungen eingegossen, sie mit + dazwischen schreiben, wie 20 + 15: Jede wird neu abgelesen, und bei jeder bleibt Flüssigkeit zurück. Sonst die Ziffern prüfen.
    }

## Ablesungen aus mehreren Teilen

parts-disagree = Für „{ NAME("quantity", $quantity) }“ steht { READING($typed, $quantity) }, aber „{ NAME("quantity", $more) }“ und „{ NAME("quantity", $less) }“ liegen { SIG($differ_by, digits: 4) } { $unit } auseinander. Es gilt, was dasteht.
    .do = Auf das Blatt sehen: Eine der drei Zahlen ist falsch. Einen der beiden Wege leer lassen.
fillings-incomplete = Ablesungen am Anfang einer Füllung: { $starts }, am Ende: { $ends }. Zu jeder Füllung gehören beide.
    .do = Beide Ablesungen jeder Füllung aufschreiben: die Anfänge mit + dazwischen in einer Spalte, die Enden in der anderen.
pieces-disagree = { $n ->
    [one] { SIG($pieces) } Stück sollte
   *[other] { SIG($pieces) } Stück sollten
    } etwa { SIG($should_g, unit: "g") } wiegen, die Probe wiegt aber { SIG($sample_g, digits: 4, unit: "g") }. Es gilt die Masse.
    .do = Die Stücke noch einmal zählen und wägen, solange die Portion noch da ist.

## Das ganze Blatt

asked-off-by-ten = Alle Portionen der Probe wiegen etwa { $times ->
    [thousandth] ein Tausendstel dessen
    [hundredth] ein Hundertstel dessen
    [tenth] ein Zehntel dessen
    [ten] das Zehnfache dessen
    [hundred] das Hundertfache dessen
   *[thousand] das Tausendfache dessen
    }, was die Definition verlangt ({ $key } unter [{ $table }]: { SIG($asked_g, digits: 4, unit: "g") }{ $in_row ->
    [yes] {" "}für die größte Portion, die anderen entsprechend
   *[no] {""}
    }). Der Äquivalenzpunkt wird für die verlangte Masse angegeben, er wäre also um denselben Faktor falsch.
    .do = Waren { SIG($meant_g, digits: 4, unit: "g") } gemeint? Dann { $key } in der Definition berichtigen. Sind die Portionen falsch, ihre Spalte berichtigen.
mass-kept = in einem geschlossenen Gefäß gewogen, und die Masse blieb gleich: Sie änderte sich um { PM($change_g, $u_g, unit: "g") }. Waage und Ablesungen zeigen, dass nichts verschwindet.
    .do = Nichts: Dafür wird in einem geschlossenen Gefäß gewogen.
mass-not-kept = in einem geschlossenen Gefäß gewogen, und die Masse änderte sich trotzdem um { PM($change_g, $u_g, unit: "g") }: { $lost ->
    [yes] Das Gefäß ist undicht, oder eine Ablesung ist falsch.
   *[no] Eine Ablesung ist falsch.
    }
    .do = War der Verschluss bei jeder Wägung dabei? { $lost ->
    [yes] Am Verschluss horchen und nach Blasen sehen; unter Druck nicht nachziehen. Noch
   *[no] Noch
    } einmal wägen und die Ziffern aller seiner Massen prüfen.
titres-apart = Die Titrationen der Stammlösung liegen { SIG($apart_mL, digits: 2, unit: "mL") } auseinander ({ $titres_mL } mL), mehr als bei sorgfältigem Ablesen einer Bürette. Die Unsicherheit der Stammlösung ist damit gewachsen, und der Mittelwert kann noch weiter danebenliegen.
    .do = Dort nachsehen, wo sie zuerst aufgeschrieben wurden: Wurde ein Strich falsch gelesen, wurden zwei Ziffern vertauscht? Noch einmal titrieren und eine grobe erste Titration nicht in titrant_mL aufnehmen.
titre = { SIG($titre_mL, digits: 4) }
minutes-not-read = Niemand hat aufgeschrieben, wie lange { $cups ->
    [one] ein Gefäß
   *[other] { $cups } Gefäße
    } vor der letzten Wägung { $cups ->
    [one] stand
   *[other] standen
    }. Angenommen werden { SIG($minutes) } Minuten, { $said ->
    [yes] wie in der Definition
   *[no] wie üblich
    }, mit ± { PERCENT($u_relative, digits: 2) }. Das allein macht ± { SIG($points, digits: 2) } Prozentpunkte des Gehalts aus.
    .do = Die Minuten vom Ende des Sprudelns bis zur letzten Wägung aufschreiben, falls sie noch jemand weiß. Nächstes Mal beide Uhrzeiten notieren.

## Die ganze Reihe

chemistry-unknown = Wie viel { $gas } in der Flüssigkeit bleibt, wenn { $analyte } mit { $reagent } reagiert, ist hier nicht bekannt. Deshalb sagen weder das volle Modell noch die Lehrbuchrechnung, was die Probe enthält; den begrenzenden Stoff kann die Reihe trotzdem zeigen.
    .do = Ein Carbonat und eine Säure nehmen, die hier bekannt sind (docs/model.md zählt sie auf), oder das Volumen des Gases messen und mit dieser Reihe nur den begrenzenden Stoff zeigen.
strength-without-uncertainty = Die Definition sagt nicht, wie genau die Konzentration der Stammlösung bekannt ist; das Ergebnis sieht deshalb sicherer aus, als es ist.
    .do = Unter [reagent.strength] relative_u oder tolerance_percent angeben.
no-change-over = { $then ->
    [model] Die Lehrbuchrechnung hat kein Ergebnis: { $because }. Die Antwort stützt sich allein auf das volle Modell.
   *[nothing] Die Reihe zeigt keinen Äquivalenzpunkt und sagt deshalb nicht, was die Probe enthält: { $because }.
    }
    .do = { $then ->
    [model] Nachholen, was fehlt, falls die Gefäße noch dastehen. Nächstes Mal darauf achten, dass auf jeder Seite des Äquivalenzpunkts mindestens drei Ansätze liegen.
   *[nothing] Ansätze mit weniger und mit mehr { $grows ->
        [reagent] Reagenz
       *[sample] Probe
    } hinzufügen, sodass auf jeder Seite mindestens drei liegen.
    }
content-open = { $because }.{ $lines ->
    [yes] {" "}Zwei Geraden durch die Massenverluste würden trotzdem einen Gehalt liefern; aber auch die Lehrbuchrechnung ist hier keine Antwort.
   *[no] {""}
    }
    .do = Tun, was oben steht, und die Reihe wiederholen.
no-full-result = Das volle Modell passt nicht zu dieser Reihe: { $because }.
    .do = { $usual_too ->
    [yes] Zuerst klären, was über die Reihe gesagt wird.
   *[no] Die Lehrbuchrechnung verwenden und bedenken, was sie auslässt.
    }
scatter = Die Ablesungen streuen { FIX($factor, decimals: 1) }-mal so stark um die beiden Geraden, wie die Messgeräte erklären. Die Unsicherheiten der Lehrbuchrechnung sind um diesen Faktor vergrößert.
    .do = Die Ansätze ansehen, die am weitesten von den Geraden liegen, zuerst Ansatz { $farthest_run }.
two-lines-not-best = { $shape ->
    [straight-line] Eine einzige Gerade
    [through-origin] Eine Gerade durch den Ursprung
   *[quadratic] Eine Parabel
    } beschreibt die Reihe besser als zwei Geraden (Akaike-Kriterium um { FIX($lower_by, decimals: 0) } kleiner); der Äquivalenzpunkt der Lehrbuchrechnung ist also schlecht zu erkennen.
    .do = Ansätze nahe beim Äquivalenzpunkt und weit dahinter hinzufügen.
content-above-one = Der Gehalt ergibt sich zu { PERCENT($mass_fraction) }, mehr als die ganze Probe.
    .do = Massen, Gleichung und entweichendes Produkt prüfen. Geht mehr verloren als Gas?
textbook-above-one = Die Lehrbuchrechnung ergibt { PERCENT($mass_fraction) }, mehr als die ganze Probe. Sie hält alles für Gas, was ein Gefäß verliert; hier gingen aber aus jedem Gefäß { FIX($water_g, decimals: 3, unit: "g") } Wasser als Dampf oder durch Verdunsten verloren, { $gas_in_cup ->
    [kept] während { FIX($kept_g, decimals: 3, unit: "g") } Gas zurückblieben
   *[lighter] und das Gas, das noch darin stand und leichter ist als die verdrängte Luft, nahm der Waage weitere { FIX($kept_g, decimals: 3, unit: "g") }
    }. Das volle Modell berücksichtigt beides.
    .do = Nichts: Es gilt der Gehalt nach dem vollen Modell. Mit kleineren Portionen oder mehr Flüssigkeit bleiben die Gefäße kühler und verlieren weniger Wasser. Ein Gefäß, in dem Gas entsteht, nie verschließen.
few-runs-on-a-side = { $runs ->
    [one] Nur ein Ansatz liegt
   *[other] Nur { $runs } Ansätze liegen
    } { $side ->
    [before] vor
   *[after] hinter
    } dem Äquivalenzpunkt; die Gerade dort steht auf schwachen Füßen.
    .do = Nächstes Mal einen Ansatz { $side ->
    [before] davor
   *[after] dahinter
    } hinzufügen.
activity-extrapolated = Die Lösung in { $n ->
    [one] Ansatz { $beyond }
   *[other] den Ansätzen { $beyond }
    } ist stärker, als das Aktivitätsmodell vorsieht (Ionenstärke { SIG($reach) } mol/kg).
    .do = Dem pH dort nur auf einige Zehntel trauen. Der Gehalt hängt kaum davon ab.
doubtful-left-out = Das volle Modell verwendet nicht: { EACH($named) }. { $makes_sense ->
    [yes] Es findet { PERCENT($content) }; mit diesen Ablesungen, wie sie dastehen, wären es { PERCENT($content_as_read) }.
   *[no] Mit allen Ablesungen, wie sie dastehen, ergibt sich nichts Sinnvolles.
    }
    .do = Die Befunde oben klären. Eine Berichtigung bringt die Ablesung in das Ergebnis zurück.
of-run-reading = Ansatz { $run }: { NAME("quantity", $quantity) }

## Die Anpassung des vollen Modells

cup-beyond-model = Das volle Modell gilt für dieses Gefäß nicht ({ $because }); das Ergebnis lässt es weg.
    .do = Seine Ablesungen ansehen. Stimmen sie, ein solches Gefäß nächstes Mal mit weniger Feststoff oder mehr Flüssigkeit ansetzen. Die anderen Gefäße werden verwendet, wie sie sind.
model-impossible = Die Ablesungen und das volle Modell können nicht beide stimmen: Kein Gehalt kommt diesen Ablesungen nahe, auch wenn alles andere so unsicher ist, wie es ist.{ $n_bent ->
    [0] {""}
   *[other] {" "}Um so nahe zu kommen, entfernt die Anpassung { $bent } weit von dem, was bekannt war.
    } Deshalb wird der Gehalt des Modells nicht angegeben, und auch auf die Lehrbuchrechnung ist kein Verlass.
    .do = Zuerst die anderen Befunde klären. Dann die Definition prüfen: Gleichung, Konzentration der Stammlösung, Säure in der Probe selbst, Einheiten und Zeiten.
model-misfit = Die Ablesungen passen nicht so gut zum vollen Modell, wie ihre Unsicherheiten versprechen. Eine davon ist vielleicht falsch.
    .do = Die Ablesungen mit der größten Abweichung ansehen. Neu ablesen, falls das Gefäß noch dasteht.
known-value-contradicted = Damit die Ablesungen passen, muss { $named } { PM($found, $u, unit: "") } { $unit } betragen; bekannt war vorher { PM($before, $before_u, unit: "") } { $unit } ({ $source }). Dahinter kann sich ein anderer Fehler verbergen.
parameter-own_acid = die Säure der Probe selbst
check-own_acid = Unter [sample] eintragen, was das Etikett über Säure in der Probe sagt, oder own_acid = "unknown".
parameter-concentration = die Konzentration der Stammlösung
check-concentration = Die Flasche ansehen und wie die Stammlösung angesetzt wurde; ihre Konzentration neu bestimmen.
parameter-scale_reagent = der Skalenfehler des Messgefäßes für das Reagenz
check-scale_reagent = Das Messgefäß prüfen: das Wasser wägen, das es abgibt.
parameter-scale_diluent = der Skalenfehler des Messgefäßes für das Verdünnungsmittel
check-scale_diluent = Das Messgefäß prüfen: das Wasser wägen, das es abgibt.
parameter-hold_up_reagent = das Reagenz, das bei jedem Eingießen zurückbleibt,
check-hold_up_reagent = Lief das Messgefäß aus, wurde es zwischendurch gespült oder ausgewischt? Wägen, was es abgibt.
parameter-hold_up_diluent = das Verdünnungsmittel, das bei jedem Eingießen zurückbleibt,
check-hold_up_diluent = Lief das Messgefäß aus, wurde es zwischendurch gespült oder ausgewischt? Wägen, was es abgibt.
parameter-gas_pressure = der Druck des Gases, das die Flüssigkeit noch enthält,
check-gas_pressure = In einem offenen Gefäß kann er nicht weit über dem der Luft liegen. Hatte jedes Gefäß aufgehört zu sprudeln, und wurde es geschwenkt? Hat sich der ganze Feststoff gelöst? Stimmt die Konzentration der Stammlösung?
parameter-degassing = die Geschwindigkeit, mit der die Flüssigkeit gelöstes Gas verlor,
check-degassing = Stimmen die Minuten? Wurden die Gefäße beim Stehen geschwenkt oder gerührt?
parameter-head_fraction = der Teil des Luftraums, der noch voll Gas ist,
check-head_fraction = Das Gas vor der letzten Wägung aus jedem Gefäß fächeln und das in [waiting] angeben.
parameter-evaporation = das Wasser, das verdunstet,
check-evaporation = Zog es, oder war die Flüssigkeit warm? Ein Gefäß mit reinem Wasser, das mitgewogen wird, zeigt es.
parameter-vapour_saturation = die Feuchte des entweichenden Gases
check-vapour_saturation = War die Flüssigkeit warm, oder ging Sprühnebel mit dem Gas verloren?
parameter-heat_kept = der Teil der Reaktionswärme, der in der Flüssigkeit bleibt,
check-heat_kept = Die Temperatur eines Gefäßes ablesen, wenn das Sprudeln aufhört. Ist der Feststoff der richtige?
parameter-waiting = die Wartezeit, wo sie nicht abgelesen wurde, im Verhältnis zur geplanten,
check-waiting = Die Minuten vom Ende des Sprudelns bis zur letzten Wägung aufschreiben.
parameter-first_pk_shift = der erste pK-Wert der Kohlensäure
check-first_pk_shift = Die Chemie im Gefäß ist wahrscheinlich nicht die, die in der Definition steht.
parameter-activity = das Gas, das die Flüssigkeit wegen ihrer Aktivitäten behält (in Standardunsicherheiten des Modells),
check-activity = Die Chemie im Gefäß ist wahrscheinlich nicht die, die in der Definition steht.
parameter-saturation = der ln der Sättigung mit dem übrig gebliebenen Feststoff
check-saturation = War er gemahlen, und lag er lange genug in der Flüssigkeit? Ist der Feststoff der richtige?

## Säure oder Base der Probe

base-in-sample = Die Probe nimmt auf mehr Wegen Säure auf, als die Definition sagt: Überall, wo das Reagenz begrenzt, entwich weniger { $gas }, als entstehen sollte. { $per_g }, die jedes Gramm aufnimmt, wie ein Hydroxid, ein Oxid oder ein anderes Carbonat, erklären alle Gefäße, und { $would_be }. Ohne sie lohnt es nicht, einen Gehalt anzugeben, weder nach dem vollen Modell noch nach der Lehrbuchrechnung.
    .do = Ist es ein Gemisch (Kalk mit Löschkalk, Soda mit einem anderen Carbonat)? Unter [sample] own_acid = "unknown" eintragen; damit wird die Reihe ausgewertet, und { $gas } aus einem anderen Carbonat zählt dann als { $analyte }. Kann die Probe nichts dergleichen enthalten, die Konzentration der Stammlösung neu bestimmen und die letzten Gefäße noch einmal wägen.
acid-in-sample = Die Probe bringt eigene Säure mit, von der die Definition nichts weiß: { $seen }. { $per_g } aus jedem Gramm erklären alle Gefäße, und { $would_be }. Ohne sie lohnt es nicht, einen Gehalt anzugeben, weder nach dem vollen Modell noch nach der Lehrbuchrechnung.
    .do = Unter [sample] own_acid = "unknown" eintragen, anstelle jeder anderen Zahl dafür; dann wird die Reihe mit dieser Säure ausgewertet. Noch besser ist es, die Säure so zu nennen, wie sie auf dem Etikett steht.
protons-per-gram = { PM($value, $u) } mmol Protonen
content-not-told = die Reihe allein sagt dann nicht, wie groß der Gehalt ist
content-would-be = der Gehalt wäre dann { $content }
seen-in-low-cups = Gefäße mit wenig Reagenz verloren mehr Gas, als dieses Reagenz erzeugen kann
seen-in-plain-water = Gefäß { $run } bekam kein Reagenz und verlor trotzdem { FIX($lost_g, decimals: 3, unit: "g") }

## Woher die Ablesungen kommen

record-cut = { $is_other ->
    [yes] Das ist nicht das Protokoll, das vorher in diesem Ordner lag, oder es geht anders weiter.
   *[no] { $events ->
        [one] Ein Eintrag fehlt
       *[other] { $events } Einträge fehlen
    } im Protokoll: Es war einmal länger.
    } Diese Ergebnisse beruhen auf dem, was übrig ist.
    .do = Wurde eine Sicherung zurückgespielt? Was bekannt ist, zeigt: tarebook verify ORDNER. Auf den Geräten und auf Papier nach dem suchen, was fehlt, oder die richtige Datei zurücklegen.
definition-changed = { $entries ->
    [one] Einer von { $of } Einträgen wurde
   *[other] { $entries } von { $of } Einträgen wurden
    } unter einer anderen Definition aufgezeichnet, als experiment.toml jetzt ist (Ereignis { $at_events } des Protokolls, SHA-256 { $was }…; jetzt { $now }…).
    .do = War das so gemeint? Die letzte Definition im Protokoll holt: tarebook export ORDNER --definition DATEI.
clock-set-back = Die Uhr des Rechners am Arbeitsplatz wurde { $times ->
    [one] einmal
   *[other] { $times }-mal
    } zurückgestellt, während Ablesungen ankamen, zum ersten Mal vor Ereignis { $first_event } des Protokolls. Die Zeiten davor und danach lassen sich nicht vergleichen.
    .do = Was zuerst kam, sagen die Nummern der Ereignisse. Den Rechner seine Zeit aus dem Netz holen lassen.
sheet-not-used = Diese Ergebnisse beruhen auf dem Protokoll vom Arbeitsplatz. readings.csv sagt etwas anderes und wird nicht verwendet: { EACH($named) }{ $more ->
    [0] {""}
   *[other] ; und { $more } weitere
    }.
    .do = Als Berichtigungen einer genannten Person übernehmen: tarebook import ORDNER ORDNER/readings.csv --who NAME. Oder beiseitelegen: tarebook export ORDNER --set-aside.
cell-differs = { $place }: { $found }{ $recorded ->
    [none] {""}
   *[other] {" "}(im Protokoll: { $recorded })
    }
sheet-leaves-out = Diese Ergebnisse beruhen auf dem Protokoll vom Arbeitsplatz. In readings.csv fehlt, was darin zählt: { EACH($named) }{ $more ->
    [0] {""}
   *[other] ; und { $more } weitere
    }.
    .do = Um es zurückzunehmen: tarebook import ORDNER ORDNER/readings.csv --who NAME --take-back; es bleibt durchgestrichen im Protokoll. Um das Blatt wieder vollständig zu haben: tarebook export ORDNER --set-aside.
row-left-out = die Zeile von Ansatz { $run }
cell-left-out = Ansatz { $run }, { $column } (im Protokoll: { $recorded ->
    [none] eine Notiz
   *[other] { $recorded }
    })

## Eine Reihe gefüllter Gefäße

row-tells-less = So, wie sie eingegossen wurde, liefert die Reihe den Gehalt { FIX($times_less, decimals: 1) }-mal unschärfer als geplant.
    .do = Ist Zeit, die Gefäße neu füllen, die weit von ihrem Plan liegen. Die Reihe lässt sich auch so verwenden.
volume-recovered = Nicht abgelesen: { NAME("quantity", $quantity) }. Nach der Masse der Flüssigkeit waren es { $volume }.
    .do = Das Feld leer lassen: Was nicht abgelesen wurde, ist keine Ablesung. Das Gefäß lässt sich so verwenden.
row-misses-equivalence = { $count ->
    [0] Keines dieser Gefäße liegt sicher
    [one] Nur eines dieser Gefäße liegt sicher
   *[other] Nur { $count } dieser Gefäße liegen sicher
    } { $side ->
    [before] vor
   *[after] hinter
    } dem Äquivalenzpunkt; nötig sind { $needed }.{ $by_plan ->
    [yes] {" "}Auch der Plan hat nicht mehr.
   *[no] {""}
    }
    .do = Noch ein oder zwei Gefäße mit { $side ->
    [before] weniger
   *[after] mehr
    } Reagenz füllen, bevor die erste Probe zugegeben wird.
row-under-way = Es gibt noch kein Ergebnis: { $finished ->
    [one] Ein Gefäß ist
   *[other] { $finished } Gefäße sind
    } fertig, { $not_finished ->
    [one] Ansatz { $open_runs } ist
   *[other] die Ansätze { $open_runs } sind
    } es nicht.
    .do = Sie zum letzten Mal wägen. Wurden sie aufgegeben, stattdessen Ansätze mit weniger und mit mehr Reagenz hinzufügen.
