# Slips: readings and cups that do not fit the others, and what to do about them.
# Findings about one run begin with "Run 3:", which is put before them.

## What happened, as a clause: "Most likely two digits are swapped."

slip-kind-digit-wrong = one digit is wrong
slip-kind-digits-swapped = two digits are swapped
slip-kind-digit-extra = there is one digit too many
slip-kind-digit-missing = one digit is missing
slip-kind-point-shifted = the decimal point is in the wrong place
slip-kind-other-unit = it was written in another unit
slip-kind-line-misread = the wrong line of the scale was read
slip-kind-meniscus-edge = the upper edge of the meniscus was read
slip-kind-target-written = the number asked for was written down, not the one read
slip-kind-copied = it was copied from another run
slip-kind-not-zeroed = the balance was not at zero, or something else was on it
slip-kind-tare-subtracted = the empty vessel had already been subtracted
slip-kind-liquids-exchanged = the reagent and the { $diluent } were swapped in the cup
slip-kind-volumes-exchanged = the volumes of reagent and { $diluent } are swapped on the sheet
slip-kind-sample-missing = the sample was never added
slip-kind-sample-twice = the sample was added twice
slip-kind-sample-lost = part of the sample did not get into the cup
slip-kind-liquid-lost = liquid splashed out or dripped off before the last weighing
slip-kind-weighed-early = the cup was weighed while it was still fizzing
slip-kind-weighed-late = the cup stood much longer than written before the last weighing
slip-kind-other-stock = the reagent in this one cup had a different strength
slip-kind-runs-exchanged = the readings of two runs are swapped
slip-kind-column-shifted = a column is written one row off
slip-kind-other-stock-throughout = the stock solution has a different strength than the definition says
slip-kind-portions-off-throughout = every portion was written too heavy or too light by the same mass
slip-kind-weighings-off-throughout = all weighings of one kind are off by the same mass
slip-kind-liquids-exchanged-throughout = the reagent and the { $diluent } are swapped in every run
slip-kind-weighed-early-throughout = every cup was weighed while it was still fizzing
slip-kind-balance-scale-off = the balance shows too much or too little, by a constant factor
slip-kind-unknown = something we do not know happened

## Parts of sentences

slip-then = { $first } { $then }
slip-written = { READING($typed, $quantity) }
slip-written-mean = { READING($typed, $quantity) } (mean)
slip-number = { NAME("quantity", $quantity) } is written as { $written }, but { READING($meant, $quantity) } would fit the other readings. { $likely ->
    [yes] Most likely
   *[no] Perhaps
    }
slip-off = { NAME("quantity", $quantity) } is written as { $written }. That is { READING($off, $quantity) } { $side ->
    [more] more
   *[less] less
    } than the other readings say
slip-loss = { $side ->
    [unseen] the readings look
    [more] about { SIG($gap_g, digits: 2, unit: "g") } more was lost than expected,
   *[less] about { SIG($gap_g, digits: 2, unit: "g") } less was lost than expected,
    }

## One number

slip-digit-wrong = { slip-number } { slip-kind-digit-wrong }.
slip-digits-swapped = { slip-number } { slip-kind-digits-swapped }.
slip-digit-extra = { slip-number } { slip-kind-digit-extra }.
slip-digit-missing = { slip-number } { slip-kind-digit-missing }.
slip-point-shifted = { slip-number } { slip-kind-point-shifted }.
slip-other-unit = { slip-number } { slip-kind-other-unit }.
slip-now-digit-wrong = Look where the number was first written down, or at the { $quantity ->
    [temperature_C] thermometer
   *[other] { $instrument }
    } if it still shows it. If it was { READING($meant, $quantity) }, enter that as a correction.
slip-now-digits-swapped = { slip-now-digit-wrong }
slip-now-digit-extra = { slip-now-digit-wrong }
slip-now-digit-missing = { slip-now-digit-wrong }
slip-now-point-shifted = { slip-now-digit-wrong }
slip-now-other-unit = { slip-now-digit-wrong }

slip-line-misread = { slip-number } { slip-kind-line-misread }.
slip-meniscus-edge = { slip-number } { slip-kind-meniscus-edge }.
slip-now-line-misread = If the { $instrument } still shows it, read it again: at eye level, at the bottom of the meniscus, counting the lines. If it is { READING($meant, $quantity) }, enter that as a correction. If the liquid has already been poured, leave the number and write a note.
slip-now-meniscus-edge = { slip-now-line-misread }

slip-target-written = { NAME("quantity", $quantity) } is written as { $written }, exactly what was asked for, but the other readings say about { READING($should_be, $quantity) }.
slip-copied = { NAME("quantity", $quantity) } is written as { $written }, the same number as in run { $same_as }, but the other readings say about { READING($should_be, $quantity) }.
slip-now-target-written = Ask whoever took it whether the number was read or only written down. If it was not read, take it back, or enter what was read as a correction.
slip-now-copied = { slip-now-target-written }

slip-not-zeroed = { slip-off }. Perhaps the balance was not at zero, or { $side ->
    [more] something else was on it.
   *[less] it was set to zero with something on it.
    }
slip-now-not-zeroed = { $quantity ->
    [sample_g] Was the weighing boat on the balance too, or was the balance not at zero? If the boat is still there, weigh it, and enter the mass of the sample alone as a correction.
   *[other] While the cup is still there: empty the pan, set the balance to zero, weigh again, and enter the new reading as a correction. If the cup is gone, leave the number and write a note.
    }
slip-tare-subtracted = { NAME("quantity", $quantity) } is written as { $written }. With the empty vessel added it would fit the other readings, as if the empty vessel had already been subtracted.
slip-now-tare-subtracted = If so, enter what the balance showed, with the vessel, as a correction: about { READING($meant, $quantity) }.

## A whole cup

slip-liquids-exchanged = the masses fit if { slip-kind-liquids-exchanged }.
slip-now-liquids-exchanged = Ask who poured which liquid. If they were swapped, enter each volume under the liquid that it really was, as corrections. Repeat this run if there is time.
slip-volumes-exchanged = the masses fit if { slip-kind-volumes-exchanged }.
slip-now-volumes-exchanged = Look where the two numbers were first written down. If they are swapped, enter both as corrections.
slip-sample-missing = { slip-loss } as if the sample had never been added.
slip-now-sample-missing = Is the weighed sample still in its boat? If so, add it now, wait, and weigh the cup again.
slip-sample-twice = { slip-loss } as if two portions of the sample had been added.
slip-now-sample-twice = Ask who added the sample. If two portions were added, write a note. Repeat this run if there is time.
slip-sample-lost = { slip-loss } as if part of the sample had not gotten into the cup.
slip-now-sample-lost = Look for solid in the boat, on the wall of the cup, and on the bench. Weigh what is left in the boat, and enter the difference as a correction.
slip-liquid-lost = { slip-loss } as if liquid had splashed out or dripped off before the last weighing.
slip-now-liquid-lost = Look for drops on the bench, on the balance, and on the outside of the cup. Lost liquid does not come back: write a note. Add the next sample in smaller amounts, so that it does not splash.
slip-weighed-early = { slip-loss } as if the cup had been weighed while it was still fizzing.
slip-now-weighed-early = If the cup is still there, swirl it until no more bubbles rise, fan the gas out, weigh it again, and enter that as a correction.
slip-weighed-late = { slip-loss } as if the cup had stood open for hours before the last weighing.
slip-now-weighed-late = Ask when the cup was weighed, and correct the waiting time if it is wrong.
slip-other-stock = { slip-loss } as if the reagent in this one cup had a different strength.
slip-now-other-stock = Look at the label of the bottle that this cup was filled from. Was the bottle shaken after the solution was made up?
slip-unknown = { $about ->
    [reading] { slip-off }, and nothing we know of explains it.
   *[cup] its readings do not fit those of the other runs, and no single slip that is known here explains it.
    }
    .do = Go through all numbers of this run where they were first written down, and weigh the cup again if it is still there. Two numbers may be wrong, or two cups may have been mixed up. If you find nothing, write a note.
slip-now-unknown = { $quantity ->
    [reagent_mL] Read the scale again if the liquid is still in it,
    [diluent_mL] Read the scale again if the liquid is still in it,
   *[other] Weigh { NAME("quantity", $quantity) } again if you still can,
    } and look where the number was first written down. If neither helps, leave it and write a note.

## What else it may be, and what would change

slip-alternative = { $named ->
    [yes] for { NAME("quantity", $quantity) }, { $kind }
   *[no] { $kind }
    }{ $meant ->
    [none] {""}
   *[other] {" "}({ READING($meant, $quantity) })
    }
slip-also = Also possible: { EACH($kinds) }.{ $first_notes ->
    [yes] {" "}So look where the numbers were first written down, too.
   *[no] {""}
    }
slip-change-hardly = The content found hardly depends on it.
slip-change = The content found is about { PERCENT($before) } as things stand, and about { PERCENT($after) } with this { $how ->
    [put-right] put right.
   *[left-out] left out.
    }
slip-change-senseless = As things stand, the content found makes no sense. With this { $how ->
    [put-right] put right,
   *[left-out] left out,
    } it is about { PERCENT($after) }.

## Numbers in each other's rows

slip-runs-exchanged = { NAME("quantity", $what) } would fit in the row of run { $last }, and the other way around, as if the two runs were swapped.
    .do = Compare the names on the two cups with the sheet. If their readings ({ NAME("quantity", $what) }) are in each other's row, enter them as corrections.
slip-column-shifted = One column ({ NAME("quantity", $what) }) seems to be written one row off from run { $first } to run { $last }: moved back by one row, it would fit.
    .do = Go through the numbers run by run where they were first written down. If the column slipped by one row, enter them again, each in its own row.

## The whole row

slip-row = The whole row fits if { $first }.{ $tied ->
    [yes] {" "}It fits just as well if { $second }. It is one of these two, and the row cannot tell which.
   *[no] {""}
    }
slip-other-stock-throughout = { slip-row }
slip-portions-off-throughout = { slip-row }
slip-weighings-off-throughout = { slip-row }
slip-liquids-exchanged-throughout = { slip-row }
slip-weighed-early-throughout = { slip-row }
slip-balance-scale-off = { slip-row }

slip-if-other-stock-throughout = the reagent has about { SIG($size, unit: "mol/L") }, not what the definition says
slip-if-portions-off-throughout = every portion of the sample is written { FIX($size, decimals: 2, unit: "g") } { $side ->
    [heavier] heavier
   *[lighter] lighter
    } than it was
slip-if-weighings-off-throughout = every { $mass ->
    [last] last mass
   *[empty] empty vessel
    } is written { FIX($size, decimals: 2, unit: "g") } { $side ->
    [heavier] heavier
   *[lighter] lighter
    } than it was
slip-if-liquids-exchanged-throughout = { slip-kind-liquids-exchanged-throughout }
slip-if-weighed-early-throughout = every cup was weighed while about { PERCENT($size, digits: 2) } of its gas was still to come
slip-if-balance-scale-off = the balance shows { SIG($size) } times the true mass

slip-now-other-stock-throughout = Look at the label of the stock solution and at its titration, and correct the strength in the definition if it is wrong.
slip-now-portions-off-throughout = Was the weighing boat or paper on the balance too, or was the balance set to zero with a different one? Weigh it, and enter the mass of each portion alone as a correction.
slip-now-weighings-off-throughout = Was it a different balance, was a lid or a stirrer on the cup, or did the zero move? Put an empty cup on again, and compare it with its first mass.
slip-now-liquids-exchanged-throughout = Are the two columns swapped where the numbers were first written down? Which bottle held which liquid?
slip-now-weighed-early-throughout = If the cups are still there, swirl them until no more bubbles rise, fan the gas out, weigh them again, and enter that as corrections.
slip-now-balance-scale-off = Put a weight of known mass on the balance, and adjust the balance as its manual says.

slip-decide-other-stock-throughout = titrate the stock solution
slip-decide-portions-off-throughout = weigh an empty boat or paper the way the portions were weighed
slip-decide-weighings-off-throughout = weigh one empty cup again, on both balances if there were two
slip-decide-liquids-exchanged-throughout = test the two bottles with indicator paper
slip-decide-weighed-early-throughout = swirl one cup, fan the gas out, and weigh it again
slip-decide-balance-scale-off = put a weight of known mass on the balance

slip-chance = { $how ->
    [under] under { FIX($percent, decimals: 0, unit: "%") }
    [over] over { FIX($percent, decimals: 0, unit: "%") }
   *[about] { FIX($percent, decimals: 0, unit: "%") }
    }
slip-alternative-chance = { $kind } ({ $chance })
slip-row-also = Also possible: { EACH($others) }.
slip-row-content = With that, the content found is { $content }.
slip-row-decide = To decide: { EACH($measures) }. Do this before you rely on any content. In the first case: { $first } In the second case: { $second }
slip-row-not-told-apart = Also possible: { EACH($others) }. The first explanation has a chance of { $chance }. This row alone cannot tell them apart, but one of these measurements can: { EACH($measures) }. Do it before you rely on any content.

## What was not looked at

slips-cut-off = { $in_doubt } runs are in doubt. Slips were looked for in the { $weighed } that differ most, and two runs in each other's place among the first { $paired } of these.{ $not_weighed ->
    [0] {""}
   *[other] {" "}Not looked at, for or against: { $left }.
    }
    .do = Settle what was found in these runs, then check again. Where so many differ, something that all runs share may be wrong: the stock solution, the balance, the sample.
slips-not-weighed = The readings could not be compared with the model of the cup, so no slips were looked for: { $name } = { $value }{ $unit ->
    [none] {""}
    [degC] {" "}°C
   *[other] {" "}{ $unit }
    } is outside { $allowed }.
    .do = Check the definition. The plain checks of single readings still hold.

## Liquids, empty vessels, columns

odd-pour-is-real = { NAME("quantity", $quantity) } is { $written }, far from the { READING($target, $quantity) } asked for, but the mass of the liquid confirms it: that much was really poured.
    .do = Nothing: the calculation uses what was poured.
liquid-mass-disagrees = the liquid weighs { FIX($by_g, decimals: 2, unit: "g") } { $side ->
    [more] more
   *[less] less
    } than its volumes say, even allowing for the { FIX($left_behind_g, decimals: 2, unit: "g") } or so that stays behind at its pours.
    .do = While the cup is still there: weigh it again, then look at both volumes on the sheet again. One of the four numbers is wrong, or something was spilled or poured twice.
zero-not-of-this-vessel = { $n ->
    [one] the empty vessel is written as 0 g, as if the balance had been set to zero with the vessel on it. But with its liquid it weighs about { SIG($vessel_g, unit: "g") } more than the liquid alone, so the vessel was weighed too.
   *[other] Runs { $runs }: the empty vessel is written as 0 g, as if the balance had been set to zero with the vessel on it. But with its liquid each weighs about { SIG($vessel_g, unit: "g") } more than the liquid alone, so the vessel was weighed too.
    }
    .do = Was the balance set to zero before the vessel was put on it, or was the empty vessel not weighed at all? Weigh the vessel once it is emptied, clean, and dry, and enter that as a correction. If it is gone, take the zero back. Nothing else in the run is wrong: until then, the full model treats the empty vessel as not weighed.
columns-exchanged = The columns { $first } and { $second } seem to be swapped. As written, the row is far from the plan and from simple sums; with these two columns exchanged, its cups agree. The content would then be { $content }.
    .do = Compare both columns with the first notes. If they are swapped, put each number where it belongs (on the sheet it is enough to exchange the two headings; at the bench, enter corrections), and check the row again. Nothing else in this row was judged, and no result is given until then.
