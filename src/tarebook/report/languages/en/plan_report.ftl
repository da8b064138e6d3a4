# What a plan says on the terminal, on paper and on its page: sentences, tables, charts.

plan_report-answer = This plan works{ $how ->
    [part] {" "}for a part of the contents only
    [caution] , with a caution
   *[plain] {""}
    }: the equivalence point falls at { $at }{ $n ->
    [0] {""}
   *[other] , between runs { $between }
    }.
plan_report-fails = This plan does not work. { $why }
plan_report-stop = Stop before anything is poured. { $why }
plan_report-expected = Expected: the content to ±{ $content }, the equivalence point to ±{ $at } (standard uncertainties), for any content from { $low } to { $high }.
plan_report-planned_for = Planned for a content from { $low } to { $high }.
plan_report-anew = Laid out anew for your wishes: { $runs } runs, { $strength } { $reagent }, { $mass } of sample, { $total } in each vessel.
plan_report-vessel = In the { $vessel } the liquid stands { $height } of { $whole } high; { $free } stay free. Foam of the first seconds: about { $foam } at most (rule of thumb, no source; try one cup first).
plan_report-takes = The row takes { $stock } of stock, { $diluent } of { $name } and { $sample } of sample, margins not counted.
plan_report-no_upgrade = No better instrument of the tables would change it.
plan_report-upgrades = What a better instrument would take off the ± of { $best ->
    [content] the content
   *[equivalence] the equivalence point
    }
plan_report-method = Tarebook { $version }{ $date }. Expected information of the joint fit, averaged over the contents planned for; bands from { $draws } draws, seed { $seed }; definition { $digest }.
plan_report-curve_alt = Chart of the expected mass loss in g against { $grows ->
    [reagent] the reagent in mL
   *[sample] the sample in g
    }, { $runs } runs. It rises while the { $rising ->
    [reagent] reagent
    [acid] acid
   *[sample] sample
    } limits, changes over at { $at } and { $falls ->
    [yes] falls again from
   *[no] stays near
    } { $most }.
plan_report-rows_alt = Where the runs stand along the reagent volume. { $said }.
plan_report-both = { $said } as read ({ $other } by the equation)
plan_report-steps = { $first } to { $last } in steps of { $step }
plan_report-row_given = this row
plan_report-row_equal_steps = equal steps
plan_report-row_best = best
plan_report-row_even = even row

## Tables

plan_report-column_row = row
plan_report-column_run = run
plan_report-column_sample =
    sample
    g
plan_report-column_reagent =
    reagent
    mL
plan_report-column_diluent =
    diluent
    mL
plan_report-column_content =
    content
    ±, %
plan_report-column_equivalence =
    equiv.
    ±, { $unit }
plan_report-column_gain =
    gain
    %
plan_report-column_loss =
    loss
    g
plan_report-column_loss_u =
    loss
    in u
plan_report-column_limits =
    reagent
    limits
plan_report-column_content_more =
    content
    + %
plan_report-column_equivalence_more =
    equivalence
    + %
plan_report-column_reading = reading
plan_report-column_misread =
    misread
    harmless
plan_report-column_own =
    u of one
    reading
plan_report-column_miss =
    missed target
    harmless
plan_report-column_so = so
plan_report-column_if = if
plan_report-column_at =
    equiv.
    mL
plan_report-column_place =
    place
    0 to 1
plan_report-column_stock =
    stock
    mL
plan_report-gain = Gain: how much smaller u of { $best ->
    [content] the content
   *[equivalence] the equivalence point
    } is than with equal steps of the whole volume.
plan_report-one_alone = A vessel filled from one measuring vessel alone tells what stays behind in that one.
plan_report-other_sample = With { $mass } of sample the best placement would come to ±{ $u }.
plan_report-about_runs = Loss in u: over the standard uncertainty of the balances. The last two columns: by how much u of content and equivalence point grow without this run.
plan_report-about_care = For the run where it matters most. Harmless: the misreading moves the result by less than a fifth of its u; the missed target, if what was really taken is read, lets u grow by less than 2 %.
plan_report-about_variants = ±: u. Place: of the equivalence point between the first run (0) and the last (1); outside of that the row does not show it. Loss: the largest of the row.
plan_report-reading_reagent = reagent poured
plan_report-reading_diluent = diluent poured
plan_report-reading_tare = empty vessel
plan_report-reading_liquid = vessel with liquid
plan_report-reading_sample = sample
plan_report-reading_final = final mass
plan_report-reading_temperature = temperature
plan_report-reading_minutes = waiting time
plan_report-any = any
plan_report-hit = hit it
plan_report-so_minute = to the minute
plan_report-so_time = time it
plan_report-so_most = matters most
plan_report-so_care = read with care
plan_report-so_none = no care needed
plan_report-so_usual = usual care

## Charts

plan_report-key = The line is the mass that the balance is expected to see lost, the band what is not known beforehand (95 %, mostly the content); the strip, where the equivalence point may lie. Circle: the { $acid ->
    [acid] acid
   *[reagent] reagent
    } limits; square: the sample limits; diamond: not sure.
plan_report-axis = { $grows ->
    [sample] sample / g
   *[reagent] reagent to pour / mL
    }
plan_report-axis_loss = mass loss to expect / g
plan_report-axis_reagent = reagent / mL
plan_report-point = equivalence point { $at }

## What stands over the parts, and at the foot of the paper

plan_report-title_plan = Plan
plan_report-title_rows = Rows side by side
plan_report-title_vessel = In the vessel, from the shelf
plan_report-title_runs = Run by run
plan_report-title_care = How exact each reading must be
plan_report-title_what_if = What if
plan_report-check = Check against your supplier's safety data sheet and local rules; the person in charge decides.
