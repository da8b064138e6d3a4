# What the checks noticed. The key is the code of the finding; `.do` says what to do now.
# Findings about one run begin with "Run 3:", which is put before them.

## Single readings

run-missing = planned, but there are no readings of it.
    .do = Do this run while the bench is still set up, or take it out of the plan.
run-not-planned = there are readings of it, but it is not in the plan.
    .do = Nothing, if it was added at the bench. Otherwise check the name of the run.
reading-missing = { NAME("quantity", $quantity) } was not read.
    .do = Read it now if the cup is still there. If not, leave it blank.
reading-impossible = { $why ->
    [too-low] { NAME("quantity", $quantity) } is written as { READING($typed, $quantity) }, which is impossible.
   *[too-much] { NAME("quantity", $quantity) } is written as { READING($typed, $quantity) }, more than the whole { $vessel } holds ({ SIG($capacity_mL, unit: "mL") }).
    }
    .do = { $why ->
    [too-low] Look at the sheet again: a sign or a digit is wrong.
   *[too-much] Look at the sheet again: a digit or the decimal point is wrong. Or correct capacity_mL in the table [vessel] of the definition.
    }
liquid-below-tare = the vessel with the liquid is not heavier than the empty vessel.
    .do = Weigh the vessel again. Was the balance set to zero with the vessel on it?
final-above-start = at the end the vessel weighs { SIG($gained_g, unit: "g") } more than everything that went into it.
    .do = Weigh it again. A digit may be wrong, or it is the vessel of another run.
lost-more-than-sample = { SIG($lost_g, unit: "g") } was lost. That is more than the whole sample of { SIG($sample_g, unit: "g") }, and more than all the gas and water that could leave ({ SIG($left_g, digits: 2, unit: "g") }).
    .do = Was anything spilt? Weigh the cup again, and check the digits of all four masses.
unit-mixed-up = { $kind ->
    [temperature] { READING($typed, $quantity) } is not a room temperature.
   *[other] { NAME("quantity", $quantity) } is written as { READING($typed, $quantity) }, about a thousand times { $was ->
        [smaller] more
       *[larger] less
    } than was asked for.
    }
    .do = { $kind ->
    [temperature] Was it read in { $was ->
        [fahrenheit] °F
       *[kelvin] K
    }? That would be { FIX($would_be_C, decimals: 1, unit: "°C") }. Write it in °C.
    [mass] Was it read in { $was ->
        [smaller] milligrams
       *[larger] kilograms
    }? Write it in g.
   *[volume] Was it read in { $was ->
        [smaller] microliters
       *[larger] liters
    }? Write it in mL.
    }
temperature-odd = { READING($typed, $quantity) } is not a room temperature.
    .do = Write the temperature in °C.
not-readable = { READING($typed, $quantity) } cannot be read on the { $instrument }; its finest step is { SIG($finest_step) }.
    .do = Write what you saw and no finer, or correct the instrument in the definition.
read-often = { NAME("quantity", $quantity) } was read { $times } times. The middle one, { READING($typed, $quantity) }, is used for all of them.
    .do = Nothing, if it really was read that often. Otherwise take back the entries that are not readings.
above-capacity = { $capacity ->
    [balance] { READING($typed, $quantity) } is more than the { $instrument } can show ({ SIG($capacity_g, unit: "g") }).
   *[ware] { READING($typed, $quantity) } is more than the { $instrument } holds ({ SIG($capacity_mL, unit: "mL") }).
    }
    .do = { $capacity ->
    [balance] Look at the sheet again: a digit or the decimal point is wrong. Or correct capacity_g in the definition.
   *[ware] If you poured it in several fillings, write them with + between them, as in 20 + 15: each is read anew and leaves liquid behind. If not, check the digits.
    }

## Readings made of others

parts-disagree = { NAME("quantity", $quantity) } is written as { READING($typed, $quantity) }, but { NAME("quantity", $more) } and { NAME("quantity", $less) } differ by { SIG($differ_by, digits: 4) } { $unit }. What is written is used.
    .do = Look at the sheet: one of the three numbers is wrong. Leave one of the two ways blank.
fillings-incomplete = { $starts ->
    [one] one reading at the start of a filling
   *[other] { $starts } readings at the start of a filling
    }, but { $ends } at the end of one. Each filling needs both.
    .do = Write both readings of every filling: the starts in one column with + between them, the ends in the other.
pieces-disagree = { $n ->
    [one] { SIG($pieces) } piece
   *[other] { SIG($pieces) } pieces
    } should weigh about { SIG($should_g, unit: "g") }, but the sample is { SIG($sample_g, digits: 4, unit: "g") }. The mass is used.
    .do = Count the pieces again, and weigh them again while the portion is still there.

## The whole sheet

asked-off-by-ten = All portions of the sample weigh about { $times ->
    [thousandth] a thousandth of what
    [hundredth] a hundredth of what
    [tenth] a tenth of what
    [ten] 10 times what
    [hundred] 100 times what
   *[thousand] 1000 times what
    } the definition asks for ({ $key } under [{ $table }]: { SIG($asked_g, digits: 4, unit: "g") }{ $in_row ->
    [yes] {" "}for the largest portion, and the others likewise
   *[no] {""}
    }). The equivalence point is stated for the mass asked for, so it would be wrong by the same factor.
    .do = Was { SIG($meant_g, digits: 4, unit: "g") } meant? Then correct { $key } in the definition. If the portions are wrong, correct their column.
mass-kept = weighed in a closed vessel, and its mass stayed the same: it changed by { PM($change_g, $u_g, unit: "g") }. Balance and readings agree that nothing disappears.
    .do = Nothing: this is what a closed vessel is weighed for.
mass-not-kept = weighed in a closed vessel, and its mass still changed by { PM($change_g, $u_g, unit: "g") }: { $lost ->
    [yes] the vessel leaks, or a reading is wrong.
   *[no] a reading is wrong.
    }
    .do = Was its closure on at every weighing? { $lost ->
    [yes] Listen, and look for bubbles at the closure; do not tighten it under pressure. Weigh
   *[no] Weigh
    } it again, and check the digits of all its masses.
titres-apart = The titers of the stock solution differ by { SIG($apart_mL, digits: 2, unit: "mL") } ({ $titres_mL } mL), more than a carefully read burette allows. The uncertainty of the stock has grown with it, and the mean may be off by even more.
    .do = Look them up where they were first written down: was a mark misread, or were two digits swapped? Titrate once more, and leave a rough first titer out of titrant_mL.
titre = { SIG($titre_mL, digits: 4) }
minutes-not-read = nobody wrote down how long { $cups ->
    [one] one cup
   *[other] { $cups } cups
    } stood before the last weighing. { SIG($minutes) } minutes are assumed, { $said ->
    [yes] as the definition says
   *[no] as is usual
    }, give or take { PERCENT($u_relative, digits: 2) }. That alone adds ±{ SIG($points, digits: 2) } percentage points to the uncertainty of the content.
    .do = Write down the minutes from the end of the fizzing to the last weighing if anyone remembers them. Next time note both times.

## The row as a whole

chemistry-unknown = It is not known here how much { $gas } stays in the liquid when { $analyte } reacts with { $reagent }. So neither the full model nor the textbook calculation can say what the sample holds; the row can still show the limiting reactant.
    .do = Take a carbonate and an acid that are known here (docs/model.md lists them), or measure the volume of the gas, and use this row to show the limiting reactant only.
strength-without-uncertainty = The definition does not say how well the strength of the stock is known, so the answer looks more certain than it is.
    .do = Add relative_u or tolerance_percent to [reagent.strength].
no-change-over = { $then ->
    [model] The textbook calculation has no result: { $because }. The answer rests on the full model alone.
   *[nothing] The row shows no equivalence point, so it does not tell what the sample holds: { $because }.
    }
    .do = { $then ->
    [model] Take the missing readings if the cups are still there. Next time make sure that at least three runs lie on each side of the equivalence point.
   *[nothing] Add runs with less and with more { $grows }, so that at least three lie on each side.
    }
content-open = { $because }.{ $lines ->
    [yes] {" "}Two straight lines through the masses lost would give a content all the same, but the textbook calculation does not answer the question here either.
   *[no] {""}
    }
    .do = Do what is said above, and take the row again.
no-full-result = The full model could not be fitted to this row: { $because }.
    .do = { $usual_too ->
    [yes] First settle what is said about the row.
   *[no] Use the textbook calculation, and remember what it leaves out.
    }
scatter = The readings scatter { FIX($factor, decimals: 1) } times as much about the two lines as the instruments explain. The uncertainties of the textbook calculation are widened by that factor.
    .do = Look at the runs that lie farthest from the lines, run { $farthest_run } first.
two-lines-not-best = { $shape ->
    [straight-line] A single straight line
    [through-origin] A straight line through the origin
   *[quadratic] A quadratic
    } describes the row better than two lines do (Akaike's criterion is { FIX($lower_by, decimals: 0) } lower), so the equivalence point of the textbook calculation is not well seen.
    .do = Add runs near the equivalence point and well beyond it.
content-above-one = The content comes out at { PERCENT($mass_fraction) }, more than the whole sample.
    .do = Check the masses, the equation, and which product leaves. Is more lost than gas?
textbook-above-one = The textbook calculation comes out at { PERCENT($mass_fraction) }, more than the whole sample. It takes everything that a cup loses for gas, but here { FIX($water_g, decimals: 3, unit: "g") } of water left each cup as vapor or by evaporation, { $gas_in_cup ->
    [kept] while { FIX($kept_g, decimals: 3, unit: "g") } of gas stayed behind
   *[lighter] and the gas still in it, lighter than the air it displaced, took another { FIX($kept_g, decimals: 3, unit: "g") } off the balance
    }. The full model counts both.
    .do = Nothing: the content by the full model is the answer. With smaller portions or more liquid the cups stay cooler and lose less water. Never cover a cup that makes gas.
few-runs-on-a-side = Only { $runs ->
    [one] one run lies
   *[other] { $runs } runs lie
    } { $side ->
    [before] before
   *[after] after
    } the equivalence point; the line there rests on little.
    .do = Next time add a run { $side ->
    [before] before
   *[after] after
    } it.
activity-extrapolated = The solution in { $n ->
    [one] run { $beyond } is
   *[other] runs { $beyond } is
    } stronger than the activity model is meant for (ionic strength { SIG($reach) } mol/kg).
    .do = Trust the pH there only to a few tenths. The content hardly depends on it.
doubtful-left-out = The full model does not use { EACH($named) }. { $makes_sense ->
    [yes] It finds { PERCENT($content) }; with these readings as they stand it would find { PERCENT($content_as_read) }.
   *[no] With all of them as they stand no result makes sense.
    }
    .do = Settle the findings above. A correction brings the reading back into the result.
of-run-reading = run { $run }: { NAME("quantity", $quantity) }

## The fit of the full model

cup-beyond-model = the full model does not hold for this cup ({ $because }), so the result leaves it out.
    .do = Look at its readings. If they are right, make such a cup with less solid or with more liquid next time. The other cups are used as they are.
model-impossible = The readings and the full model cannot both be right: no content comes near these readings, even with everything else as uncertain as it is.{ $n_bent ->
    [0] {""}
   *[other] {" "}To come as near as it does, the fit moves { $bent } far from what was known.
    } So the model's content is withheld, and do not rely on the textbook calculation either.
    .do = Settle the other findings first. Then check the definition: the equation, the strength of the stock, acid that the sample brings itself, units and times.
model-misfit = The readings do not fit the full model as well as their uncertainties promise. One of them may be wrong.
    .do = Look at the readings with the largest misfit. Take them again if the cup is still there.
known-value-contradicted = To fit the readings, { $named } has to be { PM($found, $u, unit: "") } { $unit }; beforehand { PM($before, $before_u, unit: "") } { $unit } was known ({ $source }). Something else may be wrong that hides behind it.
parameter-own_acid = the acid of the sample itself
check-own_acid = Write what the label says of acid in the sample into [sample], or own_acid = "unknown".
parameter-concentration = the strength of the stock
check-concentration = Look at the bottle and at how the stock was made; measure its strength again.
parameter-scale_reagent = the scale error of the vessel for the reagent
check-scale_reagent = Check the vessel: weigh the water that it delivers.
parameter-scale_diluent = the scale error of the vessel for the diluent
check-scale_diluent = Check the vessel: weigh the water that it delivers.
parameter-hold_up_reagent = the reagent left behind at each pour
check-hold_up_reagent = Was the vessel drained, and rinsed or wiped between the pours? Weigh what it delivers.
parameter-hold_up_diluent = the diluent left behind at each pour
check-hold_up_diluent = Was the vessel drained, and rinsed or wiped between the pours? Weigh what it delivers.
parameter-gas_pressure = the pressure of the gas that the liquid still holds
check-gas_pressure = In an open cup it cannot be far above that of the air. Did every cup stop fizzing and was it swirled? Did all of the solid dissolve? Is the strength of the stock right?
parameter-degassing = the rate at which the liquid lost its dissolved gas
check-degassing = Are the minutes right? Were the cups swirled or stirred while they stood?
parameter-head_fraction = the part of the air space still full of gas
check-head_fraction = Fan the gas out of each cup before the last weighing, and say so in [waiting].
parameter-evaporation = the water that evaporates
check-evaporation = Was there a draught, or warm liquid? A cup of plain water weighed with the others tells.
parameter-vapour_saturation = the moisture of the leaving gas
check-vapour_saturation = Was the liquid warm, or did spray leave with the gas?
parameter-heat_kept = the part of the heat of reaction that stays in the liquid
check-heat_kept = Read the temperature of a cup when the fizzing stops. Is the solid what it should be?
parameter-waiting = the waiting time where it was not read, over the planned one
check-waiting = Write down the minutes from the end of the fizzing to the last weighing.
parameter-first_pk_shift = the first pK of carbonic acid
check-first_pk_shift = The chemistry of the cup is probably not what the definition says.
parameter-activity = the gas that the liquid keeps for its activities, in standard uncertainties of the model
check-activity = The chemistry of the cup is probably not what the definition says.
parameter-saturation = the ln of the saturation with the solid that is left over
check-saturation = Was it ground, and did it lie in the liquid long enough? Is the solid what it should be?

## Acid or base of the sample

base-in-sample = The sample takes up acid in more ways than the definition says: wherever the reagent limits, less { $gas } left than it should have made. { $per_g } taken up by each gram, as by a hydroxide, an oxide or another carbonate, explain all cups, and { $would_be }. Without it no content is worth stating, by the full model or by the textbook calculation.
    .do = Is it a mixture (lime with slaked lime, soda with another carbonate)? Write own_acid = "unknown" under [sample], and the row is reduced with it; the { $gas } of another carbonate then counts as { $analyte }. If the sample cannot hold anything of the kind, measure the strength of the stock again and weigh the last cups once more.
acid-in-sample = The sample brings acid of its own that the definition does not know of: { $seen }. { $per_g } from each gram explain all cups, and { $would_be }. Without it no content is worth stating, by the full model or by the textbook calculation.
    .do = Write own_acid = "unknown" under [sample], in place of any other number for it, and the row is reduced with this acid. Better still, name the acid as on the label.
protons-per-gram = { PM($value, $u) } mmol of protons
content-not-told = the row alone does not then tell what the content is
content-would-be = the content would then be { $content }
seen-in-low-cups = cups with little reagent lost more gas than that reagent can make
seen-in-plain-water = cup { $run } got no reagent and still lost { FIX($lost_g, decimals: 3, unit: "g") }

## Where the readings come from

record-cut = { $is_other ->
    [yes] This is not the record that was in this folder before, or it continues differently.
   *[no] { $events ->
        [one] One event is
       *[other] { $events } events are
    } missing from the record: it was longer once.
    } These results rest on what is left.
    .do = Was a backup put in its place? To see what is known: tarebook verify FOLDER. Look for what is missing on the devices and on paper, or put the right file back.
definition-changed = { $entries ->
    [one] One of { $of } entries was recorded
   *[other] { $entries } of { $of } entries were recorded
    } under another definition than experiment.toml is now (in event { $at_events } of the record, SHA-256 { $was }…; now { $now }…).
    .do = Is that what was meant? To get the last definition in the record: tarebook export FOLDER --definition FILE.
clock-set-back = The clock of the computer at the bench was set back { $times ->
    [one] once
   *[other] { $times } times
    } while readings came in, first before event { $first_event } of the record. The times of the readings before and after cannot be compared.
    .do = The numbers of the events tell which came first. Let the computer take its time from the network.
sheet-not-used = These results rest on the record of the bench. readings.csv says something else and is not used: { EACH($named) }{ $more ->
    [0] {""}
   *[other] ; and { $more } more
    }.
    .do = Bring it in as corrections of a named person: tarebook import FOLDER FOLDER/readings.csv --who NAME. Or put it aside: tarebook export FOLDER --set-aside.
cell-differs = { $place }: { $found }{ $recorded ->
    [none] {""}
   *[other] {" "}(recorded: { $recorded })
    }
sheet-leaves-out = These results rest on the record of the bench. readings.csv leaves out what counts in it: { EACH($named) }{ $more ->
    [0] {""}
   *[other] ; and { $more } more
    }.
    .do = To take it back: tarebook import FOLDER FOLDER/readings.csv --who NAME --take-back; it stays in the record, struck through. To have the whole sheet again: tarebook export FOLDER --set-aside.
row-left-out = the row of run { $run }
cell-left-out = run { $run }, { $column } (recorded: { $recorded ->
    [none] a note
   *[other] { $recorded }
    })

## A row of filled cups

row-tells-less = As it was poured, the row will give the content { FIX($times_less, decimals: 1) } times less sharply than planned.
    .do = If there is time, refill the cups that are far from their plan. The row can be used as it is.
volume-recovered = { NAME("quantity", $quantity) } was not read. By the mass of the liquid it was { $volume }.
    .do = Leave the cell blank: what was not read is not a reading. The cup can be used as it is.
row-misses-equivalence = { $count ->
    [0] None of these cups surely lies
    [one] Only one of these cups surely lies
   *[other] Only { $count } of these cups surely lie
    } { $side ->
    [before] before
   *[after] after
    } the equivalence point; { $needed } are needed.{ $by_plan ->
    [yes] {" "}The plan itself has no more.
   *[no] {""}
    }
    .do = Fill another cup or two with { $side ->
    [before] less
   *[after] more
    } reagent before any sample is added.
row-under-way = There is no result yet: { $finished ->
    [one] one cup is
   *[other] { $finished } cups are
    } finished, and { $not_finished ->
    [one] run { $open_runs } is
   *[other] runs { $open_runs } are
    } not.
    .do = Give them their last weighing. If they were given up, add runs with less and with more reagent instead.
