# Warum es kein Ergebnis gibt oder ein Ansatz nicht verwendet wird: ein Satzende ohne Punkt.

not-known-why = die Reihe liefert kein Ergebnis
out-of-range = { $name }: { SIG($value, digits: 4) }{ $unit ->
    [1] {""}
   *[other] {" "}{ $unit }
    }, erlaubt: { $allowed }

## Die Lehrbuchrechnung

too-few-for-lines = die beiden Geraden brauchen { $needed } brauchbare Ansätze, es { $runs ->
    [0] gibt keinen
    [one] gibt einen
   *[other] gibt { $runs }
    }
runs-alike = zwei Ansätze haben so genau gleich viel { $grows ->
    [reagent] Reagenz je Gramm Probe
   *[sample] Probe je Portion Reagenz
    }, dass sich keine Gerade ziehen lässt
loss-does-not-grow = der Massenverlust wächst nicht mit { $grows ->
    [reagent] dem Reagenz
   *[sample] der Probe
    }
one-straight-line = alle Ansätze liegen auf einer Geraden, in jedem begrenzt also derselbe Stoff. Ansätze mit weniger und mit mehr { $grows ->
    [reagent] Reagenz
   *[sample] Probe
    } hinzufügen
no-break = die beiden Geraden würden sich zwischen { $grows ->
    [sample] { FIX($low, decimals: 2) } und { FIX($high, decimals: 2) } g Probe für { SIG($fixed, unit: "mL") } Reagenz
   *[reagent] { FIX($low, decimals: 1) } und { FIX($high, decimals: 1) } mL Reagenz für { SIG($fixed, unit: "g") } Probe
    } treffen, und weniger als zwei Ansätze haben { $side ->
    [left] weniger
   *[right] mehr
    } als das. Ansätze mit { $side ->
    [left] weniger
   *[right] mehr
    } { $grows ->
    [sample] Probe
   *[reagent] Reagenz
    } hinzufügen
repetitions-without-point = im Rahmen der Unsicherheit der Ablesungen zeigten { PERCENT($part, digits: 2) } der Wiederholungen dieser Reihe keinen Äquivalenzpunkt
weighed-closed = in einem geschlossenen Gefäß gewogen: Das Gas wird mitgewogen, deshalb liegt er auf keiner Geraden
before-gas = die erste Hälfte der Säure macht aus Carbonat nur Hydrogencarbonat, deshalb entsteht in diesem Gefäß kaum Gas
stays-dissolved = so wenig Probe macht wenig Gas, und das meiste bleibt gelöst: Die steigende Gerade beginnt erst hinter diesem Gefäß
not-read = nicht abgelesen: { NAME("quantity", $lacking) }
cup-without-sample = ein Gefäß ohne Probe: Es zeigt, was verdunstet
sample-read-as = für die Probe steht { SIG($sample_g, unit: "g") }
no-reagent-poured = es wurde kein Reagenz eingegossen, deshalb gehört dieses Gefäß nicht zu denen, die alle gleich viel bekamen
no-usable-reading = keine seiner Ablesungen ist brauchbar

## Das volle Modell

too-few-for-model = das volle Modell braucht { $needed } brauchbare Ansätze, es { $runs ->
    [0] gibt keinen
    [one] gibt einen
   *[other] gibt { $runs }
    }
no-joint-fit = keine Einstellung des Modells kommt den Ablesungen nahe genug, um eine auszuwählen. Zuerst klären, was an den Ablesungen und der Definition aufgefallen ist
readings-against-model = die Ablesungen und das volle Modell können nicht beide stimmen, ein Gehalt würde also nichts bedeuten
gas-kept-unknown = wie viel Gas in der Flüssigkeit bleibt, ist für diese Reaktion nicht bekannt
columns-exchanged-withheld = zwei Spalten des Blatts stehen vertauscht
acid-not-defined = die Gefäße verloren Gas, das das eingegossene Reagenz nicht erzeugt haben kann; die Probe bringt also Säure mit, von der die Definition nichts weiß
base-not-defined = überall, wo das Reagenz begrenzt, entwich weniger Gas, als das eingegossene Reagenz erzeugen sollte; die Probe nimmt also auf eine Weise Säure auf, von der die Definition nichts weiß
open-all-used-up = die Ablesungen bestimmen nicht, was die Probe enthält. Das Reagenz wurde in jedem Ansatz aufgebraucht, mehr Analyt würde also nichts ändern: Ansätze mit mehr Reagenz oder mit weniger Probe hinzufügen
open-may-be-used-up = die Ablesungen bestimmen nicht, was die Probe enthält. Das Reagenz kann in jedem Ansatz aufgebraucht worden sein, auch in denen mit dem meisten, mehr Analyt würde also nichts ändern: Ansätze mit mehr Reagenz oder mit weniger Probe hinzufügen
open-no-gas = die Ablesungen bestimmen nicht, was die Probe enthält. Es entwich kein Gas: Was so wenig Probe erzeugt, bleibt gelöst. Mehr Probe oder weniger Flüssigkeit nehmen und darauf achten, dass es sprudelt
open-none-fits = die Ablesungen bestimmen nicht, was die Probe enthält. Kein Gehalt zwischen { SIG($low) } und { SIG($high) } g/g passt zu ihnen: die Konzentration der Stammlösung, die Reaktion und die Einheiten der Massen prüfen
open-too-few-readings = die Ablesungen bestimmen nicht, was die Probe enthält. Es fehlen zu viele: nachholen, was noch geht
open-too-uncertain = die Ablesungen bestimmen nicht, was die Probe enthält. Sie sind zu unsicher: größere Mengen oder bessere Messgeräte nehmen
open-water-hides-gas = die Ablesungen bestimmen nicht, was die Probe enthält. Nach dem vollen Modell ging etwa so viel Wasser als Dampf und durch Verdunsten verloren wie Gas, und wie viel das war, ist nicht genau genug bekannt: wägen, sobald das Sprudeln aufhört, in mehr Flüssigkeit reagieren lassen, damit sie kühl bleibt, oder das Volumen des Gases messen
