# Was über ein Gefäß gesagt wird, solange es am Arbeitsplatz steht.

outside-expected = Für „{ NAME("quantity", $quantity) }“ steht { READING($typed, $quantity) }; erwartet wurde { RANGE($low, $high, $quantity) }.
from-to = { $low } bis { $high }
would-fit = { $kind ->
    [digits-swapped] Mit zwei vertauschten Ziffern
    [point-shifted] Mit verschobenem Komma
    [other-unit] In einer anderen Einheit
   *[digit-wrong] Mit einer anderen Ziffer
    } würde es passen: { READING($typed, $quantity) }. { $now }
read-again = { $quantity ->
    [reagent_mL] Die Skala noch einmal ablesen, falls die Flüssigkeit noch darin ist. Sonst die nächste Wägung vergleichen.
    [diluent_mL] Die Skala noch einmal ablesen, falls die Flüssigkeit noch darin ist. Sonst die nächste Wägung vergleichen.
    [vessel_liquid_g] Noch einmal auf die Waage stellen und beide Volumina noch einmal ansehen.
    [sample_g] Steht die Waage mit der leeren Schale auf null? Die Portion noch einmal wägen.
    [final_g] Noch einmal auf die Waage stellen. Ist es das Gefäß dieses Ansatzes? Sprudelt es noch? Ist etwas herausgespritzt?
   *[other] Noch einmal ablesen.
    }
liquid-meaning = Im Gefäß sind { FIX($weighed_g, decimals: 2, unit: "g") } Flüssigkeit nach der Masse und { FIX($by_volume_g, decimals: 2, unit: "g") } nach den Volumina: { FIX($apart_g, decimals: 2, unit: "g") } { $way ->
    [less] weniger
   *[more] mehr
    } nach der Masse. Bei jedem Eingießen bleibt etwas im Messgefäß zurück; { FIX($left_g, decimals: 2) } ± { FIX($left_u_g, decimals: 2, unit: "g") } sind üblich.
loss-meaning = { FIX($lost_g, decimals: 3, unit: "g") } haben das Gefäß verlassen.{ $expected ->
    [yes] {" "}Erwartet wurden { FIX($least_g, decimals: 3) } bis { FIX($most_g, decimals: 3, unit: "g") }.
   *[no] {""}
    }
two-readings = „{ $column }“ wurde zweimal aufgezeichnet ({ $values }), auf zwei Geräten, die nichts voneinander wussten.
    .do = Beide bleiben, und ihr Mittelwert zählt. Ist einer falsch, ihn zurücknehmen und den Grund angeben.
taken-back = zurückgenommen
too-many-entries = { $n_entries } Einträge. Ein Ansatz mit mehr als { $most } wird am Arbeitsplatz nicht geprüft, und nur die letzten { $most } werden gezeigt. Alle bleiben erhalten und zählen.
    .do = Sendet da etwas von selbst? Für ein anderes Gefäß einen anderen Ansatz nehmen.
