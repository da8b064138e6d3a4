# What is said of a cup while it stands on the bench.

outside-expected = { NAME("quantity", $quantity) } is written as { READING($typed, $quantity) }; { RANGE($low, $high, $quantity) } was expected.
from-to = { $low } to { $high }
would-fit = { $kind ->
    [digits-swapped] With two digits swapped
    [point-shifted] With the decimal point moved
    [other-unit] In another unit
   *[digit-wrong] With one digit different
    } it would fit: { READING($typed, $quantity) }. { $now }
read-again = { $quantity ->
    [reagent_mL] Read the scale again if the liquid is still in it. Otherwise compare the next weighing.
    [diluent_mL] Read the scale again if the liquid is still in it. Otherwise compare the next weighing.
    [vessel_liquid_g] Put it on the balance again, and look at both volumes again.
    [sample_g] Is the balance at zero with the empty dish on it? Weigh the portion again.
    [final_g] Put it on the balance again. Is it the cup of this run? Is it still fizzing? Has anything splashed out?
   *[other] Read it again.
    }
liquid-meaning = in the cup there are { FIX($weighed_g, decimals: 2, unit: "g") } of liquid by mass and { FIX($by_volume_g, decimals: 2, unit: "g") } by volume: { FIX($apart_g, decimals: 2, unit: "g") } { $way ->
    [less] less
   *[more] more
    } by mass. Some liquid stays behind in the cylinder at each pour; { FIX($left_g, decimals: 2) } ± { FIX($left_u_g, decimals: 2, unit: "g") } is usual.
loss-meaning = { FIX($lost_g, decimals: 3, unit: "g") } has left the cup.{ $expected ->
    [yes] {" "}{ FIX($least_g, decimals: 3) } to { FIX($most_g, decimals: 3, unit: "g") } was expected.
   *[no] {""}
    }
two-readings = { $column } was recorded twice, { $values }, on two devices that did not know of each other.
    .do = Both are kept, and their mean counts. If one is wrong, take it back and give the reason.
taken-back = taken back
too-many-entries = it has { $n_entries } entries. A run with more than { $most } is not checked at the bench, and only the last { $most } are shown. All of them are kept and count.
    .do = Is something sending by itself? Use another run for another cup.
