# Versehen: Messwerte und Gefäße, die nicht zu den anderen passen, und was jetzt zu tun ist.
# Vor dem, was von einem Ansatz gesagt wird, steht "Ansatz 3:".

## Was geschehen ist, als Satz: "Am wahrscheinlichsten: zwei Ziffern sind vertauscht."

slip-kind-digit-wrong = eine Ziffer ist falsch
slip-kind-digits-swapped = zwei Ziffern sind vertauscht
slip-kind-digit-extra = eine Ziffer ist zu viel
slip-kind-digit-missing = eine Ziffer fehlt
slip-kind-point-shifted = das Komma steht an der falschen Stelle
slip-kind-other-unit = die Zahl steht in einer anderen Einheit da
slip-kind-line-misread = an der Skala wurde der falsche Strich abgelesen
slip-kind-meniscus-edge = es wurde am oberen Rand des Meniskus abgelesen
slip-kind-target-written = es wurde der verlangte Wert aufgeschrieben, nicht der abgelesene
slip-kind-copied = die Zahl wurde aus einem anderen Ansatz übernommen
slip-kind-not-zeroed = die Waage stand nicht auf null, oder es lag noch etwas darauf
slip-kind-tare-subtracted = das leere Gefäß war schon abgezogen
slip-kind-liquids-exchanged = Reagenz und { $diluent } wurden im Gefäß vertauscht
slip-kind-volumes-exchanged = die Volumina von Reagenz und { $diluent } sind auf dem Blatt vertauscht
slip-kind-sample-missing = die Probe wurde nie zugegeben
slip-kind-sample-twice = die Probe wurde zweimal zugegeben
slip-kind-sample-lost = ein Teil der Probe kam nicht ins Gefäß
slip-kind-liquid-lost = vor der letzten Wägung ist Flüssigkeit herausgespritzt oder abgetropft
slip-kind-weighed-early = das Gefäß wurde gewogen, als es noch sprudelte
slip-kind-weighed-late = das Gefäß stand vor der letzten Wägung viel länger als aufgeschrieben
slip-kind-other-stock = das Reagenz in diesem einen Gefäß hatte eine andere Konzentration
slip-kind-runs-exchanged = die Messwerte zweier Ansätze sind vertauscht
slip-kind-column-shifted = eine Spalte ist um eine Zeile verschoben
slip-kind-other-stock-throughout = die Stammlösung hat eine andere Konzentration, als die Definition sagt
slip-kind-portions-off-throughout = jede Portion ist um dieselbe Masse zu schwer oder zu leicht aufgeschrieben
slip-kind-weighings-off-throughout = alle Wägungen einer Art sind um dieselbe Masse falsch
slip-kind-liquids-exchanged-throughout = Reagenz und { $diluent } sind in allen Ansätzen vertauscht
slip-kind-weighed-early-throughout = jedes Gefäß wurde gewogen, als es noch sprudelte
slip-kind-balance-scale-off = die Waage zeigt um einen festen Faktor zu viel oder zu wenig
slip-kind-unknown = etwas Unbekanntes ist geschehen

## Teile von Sätzen

slip-then = { $first } { $then }
slip-written = { READING($typed, $quantity) }
slip-written-mean = { READING($typed, $quantity) } (Mittelwert)
slip-number = { NAME("quantity", $quantity) }: aufgeschrieben { $written }, aber { READING($meant, $quantity) } würde zu den anderen Messwerten passen. { $likely ->
    [yes] Am wahrscheinlichsten:
   *[no] Vielleicht:
    }
slip-off = { NAME("quantity", $quantity) }: aufgeschrieben { $written }. Das ist um { READING($off, $quantity) } { $side ->
    [more] mehr
   *[less] weniger
    }, als die anderen Messwerte sagen
slip-loss = { $side ->
    [unseen] Es sieht so aus,
    [more] Der Massenverlust ist um etwa { SIG($gap_g, digits: 2, unit: "g") } größer als erwartet,
   *[less] Der Massenverlust ist um etwa { SIG($gap_g, digits: 2, unit: "g") } kleiner als erwartet,
    }

## Eine Zahl

slip-digit-wrong = { slip-number } { slip-kind-digit-wrong }.
slip-digits-swapped = { slip-number } { slip-kind-digits-swapped }.
slip-digit-extra = { slip-number } { slip-kind-digit-extra }.
slip-digit-missing = { slip-number } { slip-kind-digit-missing }.
slip-point-shifted = { slip-number } { slip-kind-point-shifted }.
slip-other-unit = { slip-number } { slip-kind-other-unit }.
slip-now-digit-wrong = Dort nachsehen, wo die Zahl zuerst aufgeschrieben wurde, oder am Gerät ({ $quantity ->
    [temperature_C] Thermometer
   *[other] { $instrument }
    }), wenn es sie noch zeigt. Waren es { READING($meant, $quantity) }: als Berichtigung eintragen.
slip-now-digits-swapped = { slip-now-digit-wrong }
slip-now-digit-extra = { slip-now-digit-wrong }
slip-now-digit-missing = { slip-now-digit-wrong }
slip-now-point-shifted = { slip-now-digit-wrong }
slip-now-other-unit = { slip-now-digit-wrong }

slip-line-misread = { slip-number } { slip-kind-line-misread }.
slip-meniscus-edge = { slip-number } { slip-kind-meniscus-edge }.
slip-now-line-misread = Zeigt das Gerät ({ $instrument }) den Wert noch, ihn erneut ablesen: auf Augenhöhe, am tiefsten Punkt des Meniskus, die Striche zählen. Sind es { READING($meant, $quantity) }: als Berichtigung eintragen. Ist die Flüssigkeit schon eingegossen, die Zahl stehen lassen und eine Notiz schreiben.
slip-now-meniscus-edge = { slip-now-line-misread }

slip-target-written = { NAME("quantity", $quantity) }: aufgeschrieben { $written }, genau der verlangte Wert; nach den anderen Messwerten sind es aber etwa { READING($should_be, $quantity) }.
slip-copied = { NAME("quantity", $quantity) }: aufgeschrieben { $written }, dieselbe Zahl wie in Ansatz { $same_as }; nach den anderen Messwerten sind es aber etwa { READING($should_be, $quantity) }.
slip-now-target-written = Nachfragen, ob die Zahl abgelesen oder nur hingeschrieben wurde. Wurde sie nicht abgelesen, sie zurücknehmen oder den abgelesenen Wert als Berichtigung eintragen.
slip-now-copied = { slip-now-target-written }

slip-not-zeroed = { slip-off }. Vielleicht stand die Waage nicht auf null, oder { $side ->
    [more] es lag noch etwas anderes darauf.
   *[less] sie wurde auf null gestellt, als noch etwas darauf lag.
    }
slip-now-not-zeroed = { $quantity ->
    [sample_g] Lag das Wägeschiffchen mit auf der Waage, oder stand sie nicht auf null? Ist das Schiffchen noch da, es wägen und die Masse der Probe allein als Berichtigung eintragen.
   *[other] Solange das Gefäß noch da ist: die Waage leeren, auf null stellen, erneut wägen und den neuen Wert als Berichtigung eintragen. Ist das Gefäß nicht mehr da, die Zahl stehen lassen und eine Notiz schreiben.
    }
slip-tare-subtracted = { NAME("quantity", $quantity) }: aufgeschrieben { $written }. Mit dem leeren Gefäß dazu würde es zu den anderen Messwerten passen, als wäre das leere Gefäß schon abgezogen.
slip-now-tare-subtracted = Trifft das zu, als Berichtigung eintragen, was die Waage mit dem Gefäß zeigte: etwa { READING($meant, $quantity) }.

## Ein ganzes Gefäß

slip-liquids-exchanged = Die Massen passen, wenn das stimmt: { slip-kind-liquids-exchanged }.
slip-now-liquids-exchanged = Klären, wer welche Flüssigkeit eingegossen hat. Wurden sie vertauscht, jedes Volumen bei der Flüssigkeit eintragen, die es wirklich war, als Berichtigung. Den Ansatz wiederholen, wenn Zeit bleibt.
slip-volumes-exchanged = Die Massen passen, wenn das stimmt: { slip-kind-volumes-exchanged }.
slip-now-volumes-exchanged = Dort nachsehen, wo die beiden Zahlen zuerst aufgeschrieben wurden. Sind sie vertauscht, beide als Berichtigung eintragen.
slip-sample-missing = { slip-loss } als wäre die Probe nie zugegeben worden.
slip-now-sample-missing = Liegt die gewogene Probe noch im Schiffchen? Dann jetzt zugeben, warten und das Gefäß erneut wägen.
slip-sample-twice = { slip-loss } als wären zwei Portionen der Probe zugegeben worden.
slip-now-sample-twice = Klären, wer die Probe zugegeben hat. Waren es zwei Portionen, eine Notiz schreiben. Den Ansatz wiederholen, wenn Zeit bleibt.
slip-sample-lost = { slip-loss } als wäre ein Teil der Probe nicht ins Gefäß gekommen.
slip-now-sample-lost = Nach Feststoff im Schiffchen, an der Gefäßwand und auf dem Tisch suchen. Was im Schiffchen liegt, wägen und die Differenz als Berichtigung eintragen.
slip-liquid-lost = { slip-loss } als wäre vor der letzten Wägung Flüssigkeit herausgespritzt oder abgetropft.
slip-now-liquid-lost = Nach Tropfen auf dem Tisch, auf der Waage und außen am Gefäß suchen. Verlorene Flüssigkeit kommt nicht zurück: eine Notiz schreiben. Die nächste Probe in kleineren Mengen zugeben, damit nichts spritzt.
slip-weighed-early = { slip-loss } als wäre das Gefäß gewogen worden, als es noch sprudelte.
slip-now-weighed-early = Ist das Gefäß noch da, es schwenken, bis keine Blasen mehr steigen, das Gas herausfächeln, erneut wägen und das als Berichtigung eintragen.
slip-weighed-late = { slip-loss } als hätte das Gefäß vor der letzten Wägung stundenlang offen gestanden.
slip-now-weighed-late = Klären, wann das Gefäß gewogen wurde, und die Wartezeit berichtigen, wenn sie falsch ist.
slip-other-stock = { slip-loss } als hätte das Reagenz in diesem einen Gefäß eine andere Konzentration gehabt.
slip-now-other-stock = Auf das Etikett der Flasche sehen, aus der dieses Gefäß gefüllt wurde. Wurde sie nach dem Ansetzen der Lösung geschüttelt?
slip-unknown = { $about ->
    [reading] { slip-off }, und nichts Bekanntes erklärt es.
   *[cup] Die Messwerte passen nicht zu denen der anderen Ansätze, und kein einzelnes bekanntes Versehen erklärt das.
    }
    .do = Alle Zahlen dieses Ansatzes dort durchgehen, wo sie zuerst aufgeschrieben wurden, und das Gefäß erneut wägen, wenn es noch da ist. Vielleicht sind zwei Zahlen falsch oder zwei Gefäße verwechselt. Findet sich nichts, eine Notiz schreiben.
slip-now-unknown = { $quantity ->
    [reagent_mL] Die Skala erneut ablesen, wenn die Flüssigkeit noch darin ist,
    [diluent_mL] Die Skala erneut ablesen, wenn die Flüssigkeit noch darin ist,
   *[other] Erneut wägen ({ NAME("quantity", $quantity) }), wenn es noch geht,
    } und dort nachsehen, wo die Zahl zuerst aufgeschrieben wurde. Hilft beides nicht, sie stehen lassen und eine Notiz schreiben.

## Was es sonst sein kann, und was sich ändern würde

slip-alternative = { $named ->
    [yes] { NAME("quantity", $quantity) }: { $kind }
   *[no] { $kind }
    }{ $meant ->
    [none] {""}
   *[other] {" "}({ READING($meant, $quantity) })
    }
slip-also = Auch möglich: { EACH($kinds) }.{ $first_notes ->
    [yes] {" "}Deshalb auch dort nachsehen, wo die Zahlen zuerst aufgeschrieben wurden.
   *[no] {""}
    }
slip-change-hardly = Der gefundene Gehalt hängt kaum davon ab.
slip-change = Gefundener Gehalt: etwa { PERCENT($before) } so, wie es dasteht, und etwa { PERCENT($after) }, wenn dies { $how ->
    [put-right] berichtigt ist.
   *[left-out] weggelassen wird.
    }
slip-change-senseless = So, wie es dasteht, ist der gefundene Gehalt unsinnig. Wenn dies { $how ->
    [put-right] berichtigt ist,
   *[left-out] weggelassen wird,
    } beträgt er etwa { PERCENT($after) }.

## Zahlen in der Zeile eines anderen Ansatzes

slip-runs-exchanged = { NAME("quantity", $what) } würde in die Zeile von Ansatz { $last } passen und umgekehrt, als wären die beiden Ansätze vertauscht.
    .do = Die Beschriftung der beiden Gefäße mit dem Blatt vergleichen. Stehen ihre Messwerte ({ NAME("quantity", $what) }) jeweils in der Zeile des anderen, sie als Berichtigung eintragen.
slip-column-shifted = Eine Spalte ({ NAME("quantity", $what) }) scheint von Ansatz { $first } bis Ansatz { $last } um eine Zeile verschoben zu sein; zurückgeschoben würde sie passen.
    .do = Die Zahlen Ansatz für Ansatz dort durchgehen, wo sie zuerst aufgeschrieben wurden. Ist die Spalte um eine Zeile verrutscht, sie neu eintragen, jede Zahl in ihre eigene Zeile.

## Die ganze Reihe

slip-row = Die ganze Reihe passt unter einer Annahme: { $first }.{ $tied ->
    [yes] {" "}Ebenso gut passt sie unter einer anderen: { $second }. Eines von beiden ist es; die Reihe kann nicht entscheiden, welches.
   *[no] {""}
    }
slip-other-stock-throughout = { slip-row }
slip-portions-off-throughout = { slip-row }
slip-weighings-off-throughout = { slip-row }
slip-liquids-exchanged-throughout = { slip-row }
slip-weighed-early-throughout = { slip-row }
slip-balance-scale-off = { slip-row }

slip-if-other-stock-throughout = das Reagenz hat etwa { SIG($size, unit: "mol/L") }, nicht die Konzentration der Definition
slip-if-portions-off-throughout = jede Portion der Probe ist um { FIX($size, decimals: 2, unit: "g") } { $side ->
    [heavier] zu schwer
   *[lighter] zu leicht
    } aufgeschrieben
slip-if-weighings-off-throughout = { $mass ->
    [last] jede Endmasse
   *[empty] jedes leere Gefäß
    } ist um { FIX($size, decimals: 2, unit: "g") } { $side ->
    [heavier] zu schwer
   *[lighter] zu leicht
    } aufgeschrieben
slip-if-liquids-exchanged-throughout = { slip-kind-liquids-exchanged-throughout }
slip-if-weighed-early-throughout = jedes Gefäß wurde gewogen, als noch etwa { PERCENT($size, digits: 2) } seines Gases fehlten
slip-if-balance-scale-off = die Waage zeigt das { SIG($size) }-Fache der wahren Masse

slip-now-other-stock-throughout = Auf das Etikett der Stammlösung und auf ihre Titration sehen; die Konzentration in der Definition berichtigen, wenn sie falsch ist.
slip-now-portions-off-throughout = Lag das Wägeschiffchen oder das Papier mit auf der Waage, oder wurde sie mit einem anderen auf null gestellt? Es wägen und die Masse jeder Portion allein als Berichtigung eintragen.
slip-now-weighings-off-throughout = War es eine andere Waage, lag ein Deckel oder ein Rührstab auf dem Gefäß, oder ist der Nullpunkt gewandert? Ein leeres Gefäß noch einmal auflegen und mit seiner ersten Masse vergleichen.
slip-now-liquids-exchanged-throughout = Sind die beiden Spalten dort vertauscht, wo die Zahlen zuerst aufgeschrieben wurden? In welcher Flasche war welche Flüssigkeit?
slip-now-weighed-early-throughout = Sind die Gefäße noch da, sie schwenken, bis keine Blasen mehr steigen, das Gas herausfächeln, erneut wägen und das als Berichtigung eintragen.
slip-now-balance-scale-off = Ein Gewichtsstück bekannter Masse auf die Waage legen und die Waage nach ihrer Anleitung justieren.

slip-decide-other-stock-throughout = die Stammlösung titrieren
slip-decide-portions-off-throughout = ein leeres Schiffchen oder Papier so wägen, wie die Portionen gewogen wurden
slip-decide-weighings-off-throughout = ein leeres Gefäß noch einmal wägen, auf beiden Waagen, wenn es zwei waren
slip-decide-liquids-exchanged-throughout = die beiden Flaschen mit Indikatorpapier prüfen
slip-decide-weighed-early-throughout = ein Gefäß schwenken, das Gas herausfächeln und erneut wägen
slip-decide-balance-scale-off = ein Gewichtsstück bekannter Masse auf die Waage legen

slip-chance = { $how ->
    [under] unter { FIX($percent, decimals: 0, unit: "%") }
    [over] über { FIX($percent, decimals: 0, unit: "%") }
   *[about] { FIX($percent, decimals: 0, unit: "%") }
    }
slip-alternative-chance = { $kind } ({ $chance })
slip-row-also = Auch möglich: { EACH($others) }.
slip-row-content = Gefundener Gehalt unter dieser Annahme: { $content }.
slip-row-decide = Zum Entscheiden: { EACH($measures) }. Erst das tun, dann einem Gehalt trauen. Im ersten Fall: { $first } Im zweiten Fall: { $second }
slip-row-not-told-apart = Auch möglich: { EACH($others) }. Wahrscheinlichkeit der ersten Erklärung: { $chance }. Diese Reihe allein kann nicht entscheiden, aber eine dieser Messungen kann es: { EACH($measures) }. Erst das tun, dann einem Gehalt trauen.

## Wonach nicht gesucht wurde

slips-cut-off = { $in_doubt } Ansätze sind zweifelhaft. Gesucht wurde in den { $weighed }, die am meisten abweichen, nach zwei vertauschten Ansätzen unter den ersten { $paired } davon.{ $not_weighed ->
    [0] {""}
   *[other] {" "}Nicht beurteilt, weder so noch so: { $left }.
    }
    .do = Erst klären, was hier gefunden wurde, dann erneut prüfen. Wenn so viele abweichen, stimmt vielleicht etwas nicht, das alle gemeinsam haben: Stammlösung, Waage, Probe.
slips-not-weighed = Die Messwerte ließen sich nicht mit dem Modell des Gefäßes vergleichen, deshalb wurde nicht nach Versehen gesucht: { $name } = { $value }{ $unit ->
    [none] {""}
    [degC] {" "}°C
   *[other] {" "}{ $unit }
    } liegt außerhalb von { $allowed }.
    .do = Die Definition prüfen. Die einfachen Prüfungen der einzelnen Messwerte gelten weiter.

## Flüssigkeiten, leere Gefäße, Spalten

odd-pour-is-real = { NAME("quantity", $quantity) }: { $written }, weit entfernt vom Sollwert { READING($target, $quantity) }, aber die Masse der Flüssigkeit bestätigt es: so viel wurde wirklich eingegossen.
    .do = Nichts: gerechnet wird mit dem, was eingegossen wurde.
liquid-mass-disagrees = Die Flüssigkeit wiegt { FIX($by_g, decimals: 2, unit: "g") } { $side ->
    [more] mehr
   *[less] weniger
    }, als ihre Volumina sagen, obwohl berücksichtigt ist, was beim Ausgießen zurückbleibt (etwa { FIX($left_behind_g, decimals: 2, unit: "g") }).
    .do = Solange das Gefäß noch da ist: es erneut wägen, dann beide Volumina auf dem Blatt noch einmal ansehen. Eine der vier Zahlen ist falsch, oder es wurde etwas verschüttet oder zweimal eingegossen.
zero-not-of-this-vessel = { $n ->
    [one] Das leere Gefäß ist mit 0 g aufgeschrieben, als wäre die Waage mit dem Gefäß darauf auf null gestellt worden. Mit der Flüssigkeit wiegt es aber etwa { SIG($vessel_g, unit: "g") } mehr als die Flüssigkeit allein; das Gefäß wurde also mitgewogen.
   *[other] Ansätze { $runs }: Das leere Gefäß ist mit 0 g aufgeschrieben, als wäre die Waage mit dem Gefäß darauf auf null gestellt worden. Mit der Flüssigkeit wiegt jedes aber etwa { SIG($vessel_g, unit: "g") } mehr als die Flüssigkeit allein; das Gefäß wurde also mitgewogen.
    }
    .do = Wurde die Waage auf null gestellt, bevor das Gefäß darauf stand, oder wurde das leere Gefäß gar nicht gewogen? Das Gefäß wägen, sobald es leer, sauber und trocken ist, und das als Berichtigung eintragen. Ist es nicht mehr da, die Null zurücknehmen. Sonst ist an dem Ansatz nichts falsch: bis dahin gilt das leere Gefäß im vollständigen Modell als nicht gewogen.
columns-exchanged = Die Spalten { $first } und { $second } scheinen vertauscht zu sein. So, wie sie dasteht, ist die Reihe weit vom Plan und von einfachen Summen entfernt; mit diesen beiden Spalten getauscht passen ihre Gefäße zueinander. Der Gehalt wäre dann { $content }.
    .do = Beide Spalten mit den ersten Notizen vergleichen. Sind sie vertauscht, jede Zahl dorthin schreiben, wohin sie gehört (auf dem Blatt genügt es, die beiden Überschriften zu tauschen; am Arbeitsplatz Berichtigungen eintragen), und die Reihe erneut prüfen. Sonst wurde an dieser Reihe nichts beurteilt, und bis dahin wird kein Ergebnis angegeben.
