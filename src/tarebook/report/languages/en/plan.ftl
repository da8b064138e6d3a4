# What planning says of a row: before anything is poured, and when a wish is not possible.
# The key is the code of the finding; `.do` says what to do now.

## The gas, before all else

gas-poisonous = The gas of this row, { $named }, is poisonous{ $limit_known ->
    [yes] {" "}(workplace limit { $limit })
   *[no] {""}
    }. { $made } Over the vessel the gas is undiluted.
gas-above-limit = The gas of this row, { $named }, goes above its limit{ $limit_known ->
    [yes] {" "}of { $limit }
   *[no] {""}
    }. { $made }
gas-limit-unknown = The gas of this row is { $named }. No workplace limit for it is known here. { $made }
gas-made = { $groups ->
    [one] One group makes
   *[other] { $groups } groups make
    } up to { SIG($volume_L, digits: 2, unit: "L") }; spread through a room of { SIG($room_m3, unit: "m³") }, that is { $share } of the air.
gas-undecided = Do not pour anything. Only the person in charge can decide whether this is done at all, and where: as a rule in a fume hood, as a demonstration, or not at all. Check the safety data sheets and your local rules first. Sheets for students are made only when the definition names who decided ([prepare.gas_decision]).
gas-decided = Decided by { $by } on { $on }: { $why }. Do it only in this way, and only with that person there.
gas-burns = The gas, { $named }, is flammable: it burns in air from { $from } on.
    .do = No flame, no spark, no hot plate in the room{ $light ->
    [yes] . Open a window at the top: the gas gathers under the ceiling
   *[no] {""}
    }.
vessel-closed = { $n ->
    [one] Run { $runs } is
   *[other] Runs { $runs } are
    } weighed in a closed vessel. The gas can reach { FIX($gas_kPa, decimals: 0, unit: "kPa") } above the pressure of the room; the vessel is rated for { SIG($rated_kPa, digits: 6, unit: "kPa") }.
    .do = { only-rated } Wear goggles and use a shield. Never take more sample than asked for. Let the gas off slowly, after the last weighing. The person in charge decides.
only-rated = Never stopper a glass vessel or a cup; close only a vessel that its maker rates for the pressure.
caution-always = Goggles on. Acid into water. Never cover or stopper a vessel that makes gas. The person in charge decides.

gas-named = { $name } ({ $formula })
part-percent = { PERCENT($part, digits: 2) }
part-ppm = { SIG($part_ppm, unit: "ppm") }

## The row

too-few-runs = { $n ->
    [one] A single run
   *[other] A row of { $n } runs
    } cannot show an equivalence point.
    .do = Plan at least { $fewest } runs, two on each side of the equivalence point.
change-over-outside = The equivalence point lies at { $at }, { $side ->
    [beyond] beyond your last cup
    [before] before your first cup
    [smaller] less than your smallest portion
   *[larger] more than your largest portion
    } ({ $end }). The { $limits ->
    [reagent] reagent
   *[sample] sample
    } would be the limiting reactant in every cup.
change-over-near-edge = The equivalence point may lie anywhere from { $low } to { $high }. { $few ->
    [0] No cup is { $there }. For the { $limits ->
        [reagent] highest contents the reagent
       *[sample] lowest contents the sample
    } would be the limiting reactant in every cup, and the row would show no equivalence point.
    [one] Only one cup is { $there }.
   *[other] Only { $few } of the cups are { $there }.
    }
side-beyond = beyond that
side-before = before that
side-smaller = below that
side-larger = above that
volume-not-readable = The { $instrument } cannot be read to { $volumes } mL of { $liquid }.
    .do = Use { $nearest } mL, or choose a row from the table of rows.
ware-filled-twice = { SIG($volume_mL, unit: "mL") } of { $liquid } do not fit into the { $instrument }. It has to be filled { $times ->
    [2] twice
   *[other] { $times } times
    }, and each time some liquid stays behind.
    .do = Use a larger one. Or write the fillings with + between them, as in 20 + 15.
liquid-reagent = reagent
liquid-diluent = water
strength-not-sure = The definition does not say how well the strength of the reagent solution is known. The plan takes it as exact, so the expected ± is too small.
    .do = Give relative_u or tolerance_percent, or titrate the reagent solution.
content-unknown = Nobody has claimed a content for this sample, so the row is planned for anything from { PERCENT($low, digits: 2) } to { PERCENT($high, digits: 2) }.
    .do = If a label states the content, give it as claimed_mass_fraction. The row can then be narrower.
acid-of-the-sample = { $cup ->
    [there] Run { $bare } contains no { $reagent }. The { $gas } that leaves this cup comes from the acid of the sample alone, and each pour adds to it up to { $up_to }.
   *[missing] The sample brings acid of its own. Nobody knows how much, and no cup shows it alone.
    }
    .do = { $cup ->
    [there] Keep this cup: no other cup can tell the acid of the sample from the acid you pour.
   *[missing] Plan one cup without { $reagent }: the gas that leaves it is the work of that acid.
    }
content-stays-unsure = After this row the content would be known to ±{ SIG($u_content_percent, digits: 2, unit: "%") } at best (standard uncertainty). That is { SIG($relative_u_percent, digits: 2, unit: "%") } of the expected content: { $severe ->
    [yes] the row cannot tell how much the sample holds.
   *[no] the row tells little about the sample.
    }

## The bench

sample-too-small-for-balance = On the { $balance } a portion of { SIG($sample_g, digits: 6, unit: "g") } is known to { PERCENT($relative, digits: 2) } at best (two standard deviations).
mass-lost-too-small = No cup loses more than { SIG($largest_loss_g, digits: 2, unit: "g") }. That is only { SIG($loss_over_u, digits: 2) } times what the balance can resolve (u = { SIG($u_loss_g, digits: 2, unit: "g") }).
water-rivals-gas = In the cup with the most gas, about { SIG($water_mg, digits: 2, unit: "mg") } of water leave as vapor and by evaporation beside { SIG($gas_mg, digits: 2, unit: "mg") } of { $gas }. { $hides ->
    [yes] The mass lost cannot tell how much the sample holds.
   *[no] This makes the content less certain.
    }
    .do = Weigh as soon as the fizzing stops, use more liquid so that it stays cool, or use a flask with a narrow neck. For a light gas the volume tells more than the mass.
vessel-foams-over = { SIG($liquid_mL, unit: "mL") } of liquid and about { SIG($foam_mL, unit: "mL") } of foam (rule of thumb) do not fit into the { SIG($capacity_mL, unit: "mL") } { $vessel }. What foams over is lost and counts as gas.
vessel-rather-full = { SIG($liquid_mL, unit: "mL") } of liquid leave only { SIG($free_mL, unit: "mL") } of the { SIG($capacity_mL, unit: "mL") } { $vessel } free. It is common practice to leave as much room above the liquid as the liquid takes.
sample-does-not-dissolve = In the cup with the least reagent, { SIG($left_g, digits: 2, unit: "g") } of { $analyte } are left over, but { $total } of water dissolve only about { SIG($holds_g, digits: 2, unit: "g") } (at 20 °C).
balance-overloaded = Liquid and sample alone weigh { SIG($contents_g, unit: "g") }. The { $balance } can weigh no more than { SIG($capacity_g, digits: 6, unit: "g") }.
    .do = Use less liquid in each cup, or a balance that can weigh more.
empty-vessel-at-most = The { $balance } can weigh up to { SIG($capacity_g, digits: 6, unit: "g") }, so the empty vessel may weigh up to { SIG($empty_g, unit: "g") }.
    .do = Weigh one empty vessel before the lesson.

## What to use instead

plan-volume = { SIG($volume_mL, unit: "mL") }
plan-volume-exact = { SIG($volume_mL, digits: 6) }
plan-portion = { SIG($sample_g, unit: "g") } of sample
plan-balance = a { SIG($step_g, unit: "g") } balance
plan-use-any = Use { ANY($ways) }.
plan-larger-amounts = more sample with a reagent solution that is stronger in proportion
remedy-any = Use { ANY($ways) } ({ $n ->
    [one] checked
   *[other] each checked
    } with the full model).
remedy-none = No single change of reagent solution, sample, row, or vessel fixes this. Change two of them at once.
remedy-stock = { SIG($strength_mol_per_L, digits: 6, unit: "mol/L") } { $name }
remedy-sample = { SIG($sample_g, digits: 6, unit: "g") } of sample
remedy-sample-and-row = { SIG($sample_g, digits: 6, unit: "g") } of sample with a row from { SIG($first_mL, digits: 6) } to { SIG($last_mL, digits: 6, unit: "mL") }
remedy-row = a row from { SIG($first_mL, digits: 6) } to { SIG($last_mL, digits: 6, unit: "mL") } in steps of { SIG($step_mL, digits: 6, unit: "mL") }
remedy-vessel = a vessel of { SIG($capacity_mL, digits: 6, unit: "mL") }

upgrade-with-gain = { $what } (cuts the uncertainty by { PERCENT($gain, digits: 2) })
upgrade-ware = a { $ware }, class A, for the { $liquid }
upgrade-balance = { $balance }{ $weighs ->
    [cups] {" "}for the cups
    [sample] {" "}for the sample
   *[all] {""}
    }
upgrade-strength = a reagent solution whose strength is known twice as well

variant-as-planned = as planned
variant-stock = { $way ->
    [stronger] stronger
   *[weaker] weaker
    } reagent, { SIG($strength_mol_per_L, digits: 6, unit: "mol/L") }
variant-sample = { $way ->
    [larger] larger
   *[smaller] smaller
    } sample, { SIG($sample_g, digits: 6, unit: "g") }
variant-balance = { $way ->
    [coarser] coarser
   *[finer] finer
    } balance, { SIG($step_g, digits: 6, unit: "g") }
variant-room = { $way ->
    [colder] colder
   *[warmer] warmer
    } room, by { SIG($by_K, unit: "K") }
variant-runs = { $more } more runs, same ends

## A wish that is not possible

refusal-wish = { $n ->
    [one] { $wished } is not possible.
   *[other] { $wished } are not possible together.
    }
refusal-row = { $n ->
    [0] This row is beyond the full model.
    [one] This row is beyond the full model in cup { $runs }.
   *[other] This row is beyond the full model in cups { $runs }.
    }
refusal-sample-grows = A row in which the sample grows is not laid out by wishes. Change sample_g in the definition.
refusal-too-few-runs = With fewer than two runs on each side, a row shows no equivalence point.
refusal-too-many-runs = A row can have at most { $most } runs.
refusal-no-amount = It has to be a number above zero, from { SIG($least) } to { FIX($most, decimals: 0) }{ $of ->
    [total-volume] {" "}mL
    [sample] {" "}g
    [stock] {" "}mol/L
   *[runs] {""}
    }.
refusal-no-such-solution = No solution of { $name } is stronger than { SIG($strongest_mol_per_L, unit: "mol/L") }.
refusal-stronger-than-bottle = The { $name } holds { SIG($strongest_mol_per_L, unit: "mol/L") }, and it can only be diluted.
refusal-stronger-than-bought = What the reagent solution is made from holds { SIG($strongest_mol_per_L, unit: "mol/L") }, and it can only be diluted.
refusal-between-steps = The { $balance } cannot show this mass.
refusal-between-pieces = One piece weighs about { SIG($piece_g, digits: 6, unit: "g") }, so a portion has to be a whole number of { SIG($part_g, digits: 6, unit: "g") }.
refusal-vessel-too-small = The { $vessel } holds only { SIG($capacity_mL, digits: 6, unit: "mL") }.
refusal-not-measurable = With this glassware ({ $ware }) a row of { $runs } different pours, each filled up with water to { SIG($total_mL, digits: 6, unit: "mL") }, cannot be measured.
refusal-out-of-reach = The equivalence point lies at { SIG($low_mL) } to { SIG($high_mL, unit: "mL") } of reagent. With this glassware and { SIG($total_mL, digits: 6, unit: "mL") } in all, a row can go from { SIG($first_mL, digits: 6) } to { SIG($last_mL, digits: 6, unit: "mL") }, and it needs at least two runs on each side of the equivalence point.
refusal-no-room-for-water = A reagent solution this strong leaves no room for water: no such solution exists.
refusal-beyond-model = The full model does not reach this far ({ $where }).
refusal-model-ends = The full model cannot be used for these amounts.
refusal-instead = { $checked ->
    [yes] { $as_defined ->
        [yes] With everything else as in the definition, this works (checked with the full model): { ANY($amounts) }.
       *[no] This works instead (checked with the full model): { ANY($amounts) }.
    }
   *[no] Use { ANY($amounts) }.
    }
refusal-nothing-near = No other value of a single amount works. Change two of them at once.
refusal-ask-for-less = Ask for less.

## Before the sheets are printed

row-beyond-model = The row does not work. { $because }
    .do = Look at the plan of this row before you hand anything out.
note-withheld = Not made, and removed where they were: { $files }. They are made only when the definition names who decided, in [prepare.gas_decision]: by, on, why.
note-hazards-unverified = Unverified hazard rows: { $rows }. Check them against the supplier's safety data sheets and confirm them in the definition ([[prepare.confirmed]]).
note-room-assumed = The size of the room is assumed. Write volume_m3 and air_changes_per_hour of your own room into [room].
note-time-fits = The last group is done after about { FIX($end_min, decimals: 0, unit: "min") }. That fits into the { SIG($lesson_min, unit: "min") } of the lesson.
note-time-balances = The last group is done after about { FIX($end_min, decimals: 0, unit: "min") }, with a wait of { FIX($wait_min, decimals: 1, unit: "min") } for a balance on average. With { $balances } balances it would be { FIX($end_then_min, decimals: 0, unit: "min") }.
note-time-alone = The last group is done after about { FIX($end_min, decimals: 0, unit: "min") }, with a wait of { FIX($wait_min, decimals: 1, unit: "min") } for a balance on average. Even a group that never waits needs { FIX($least_min, decimals: 0, unit: "min") }, and the lesson has { SIG($lesson_min, unit: "min") }.
note-time-long = The last group is done after about { FIX($end_min, decimals: 0, unit: "min") }, with a wait of { FIX($wait_min, decimals: 1, unit: "min") } for a balance on average. The lesson has { SIG($lesson_min, unit: "min") }.
