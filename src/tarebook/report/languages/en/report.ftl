# What a finished row's report says: the answer, the numbers beside it, its tables and headings.

report-content_label = { $analyte } in the sample
report-answer = We found { $content } { $analyte } by mass in the sample ({ $name }).
report-answer_open = This row does not tell how much { $analyte } the sample ({ $name }) holds: { $why }.
report-withheld = No content is stated: { $why }.
report-claim = The label says { $said }. The result { $agrees ->
    [yes] agrees
   *[no] does not agree
    } with it: it is { $apart } percentage points { $way ->
    [lower] lower
   *[higher] higher
    }, which is { $times } of the difference ({ $agrees ->
    [yes] up to { $limit } counts as agreement
   *[no] more than { $limit } counts as disagreement
    }).
report-second_way = A second way, from the equivalence point and the strength of the reagent, gives { $found }. { $agree ->
    [yes] The two agree: they are { $times } of their difference apart.
   *[no] The two do not agree: they are { $times } of their difference apart. The calculation leaves something out, so do not compare the first result with the label yet.
    }
report-caveat = The textbook calculation counts the mass lost as the { $gas } made. { $grows ->
    [sample] Gas that stays behind equally in all cups shifts the rising line but not its slope; the ± treats what one cup keeps more than another as an error of each cup. Cups with more sample are colder and hold more gas below their rim, so the content usually comes out 1 to 3 % too low.
   *[reagent] Gas that stays in the liquid or in the vessel makes the content come out too low; water vapor that leaves with the gas makes it come out too high. The ± does not cover these two.
    }
report-about_budget = How much each source adds to the variance of the content. Knowing what stands at the top better, by a better instrument or a measurement of its own, helps most; at the bottom it changes nothing.
report-method = Tarebook { $version }{ $date }.
report-method_model = Model of the cup: joint fit.
report-method_usual = Textbook calculation: { $draws } Monte Carlo draws, seed { $seed }. Definition { $digest }.

## Beside the answer

report-fact_textbook = Textbook calculation
report-fact_textbook_note = the mass lost counted as the { $gas } made{ $grows ->
    [sample] , by the slope of the rising line
   *[reagent] {""}
    }; the point where its two lines meet would give { $second }
report-fact_equivalence = Equivalence point
report-fact_equivalence_note = { $used_up }; the textbook calculation says { $found }
report-used_up = { $grows ->
    [sample] of sample that uses up the { $portion } of { $name } in each cup
   *[reagent] { $name } that uses up { $portion } of sample
    }
report-fact_held = { $gas } held back
report-fact_held_note = { $below ->
    [yes] below zero: the { $gas } in the vessel is lighter than the air it displaced and takes mass off the balance
   *[no] made, but still dissolved or lying in the vessel at the last weighing
    }: from the run with the least to the run with the most
report-fact_second = Content from the equivalence point
report-fact_second_note = a second way, from { $grows ->
    [sample] that mass, the volume
   *[reagent] that volume
    } and the strength of the reagent
report-fact_scatter = Scatter about the two lines
report-fact_scatter_value = { $scatter } times
report-fact_scatter_note = what { $grows ->
    [sample] the instruments and the gas that one cup keeps more than another
   *[reagent] the instruments
    } explain; about 1 is expected{ $widened ->
    [yes] ; the uncertainties of the lines are widened by it
   *[no] {""}
    }

## What was noticed, and which runs are not used

report-warning = { $n ->
    [one] A finding says stop: do not rely on the result until it is settled.
   *[other] { $n } findings say stop: do not rely on the result until they are settled.
    }
report-whole_row = whole row
report-severity_stop = stop
report-severity_look = look
report-severity_note = note
report-to_do = Do: { $do }
report-nothing_odd = Nothing odd was noticed in the readings.
report-unused_none = No result uses { $runs }: { $why }.
report-unused_textbook = The textbook calculation cannot use { $runs }: { $why }. The model can.
report-unused_lines = The two lines do not use { $runs }: { $why }.
report-unused_both = Neither the two lines nor the model use { $runs }: { $why }.
report-unused_model = The model does not use { $runs }: { $why }.

## Tables

report-runs_note = { $basis ->
    [slope] Amounts of the runs, with the content that the slope of the rising line gives.
    [level] Amounts of the runs, with the content found, so that the yield on the plateau is 100 % on average.
    [claimed] Amounts of the runs, with the content that the label claims.
   *[pure] Amounts of the runs, as if the sample were pure.
    } Every ± is one u.
report-amounts_note = Amounts by the model. Where it says which reactant limits, acid of the sample counts with the reagent. Every ± is one u.
report-gas_note = { $gas } held back is still dissolved or lies in the vessel. Made = lost + held back, less vapor and evaporation, corrected for buoyancy and the error of the balance. The yield is the mass lost over the { $gas } expected: what the textbook calculation would see. Every ± is one u.
report-column_limits = limits
report-column_chance = chance
report-column_found = { $gas } found
report-column_expected = { $gas } expected
report-column_yield = yield
report-column_lost = mass lost
report-column_held = held back
report-column_made = { $gas } made
report-left_out = left out
report-middle_of = { $typed } (the middle of { $times } readings)
report-small_shares = { $n } more, each below { $limit }
report-brackets = { $value }({ $digits }) stands for { $value } ± { $u }.
report-molar_mass = molar mass of { $name }
report-strength_of = strength of { $name }
report-content_claimed = content claimed
report-constants_note = Numbers used beside the readings.
report-column_what = what
report-column_value = value
report-source_gum = JCGM 100:2008 (GUM): standard uncertainty, rounding, budget
report-source_monte_carlo = JCGM 101:2008: propagation of distributions by Monte Carlo
report-source_lines = D. J. Hudson, J. Am. Stat. Assoc. 61 (1966) 1097: two lines that meet

## Headings

report-title_answer = The answer
report-title_interval = 95 % interval: { $interval }
report-title_waterfall = From the textbook calculation to the model of the cup
report-title_runs = Run by run
report-title_open = Cups that are not finished
report-title_beside = Beside the answer
report-title_model = The model of the cup
report-title_fit = How well the model fits
report-title_worst = Readings that fit worst
report-title_taught = What the readings taught
report-title_budget = Where the uncertainty comes from
report-title_how = How each number was made
report-title_constants = Constants and strength
report-title_row = The row
report-title_sources = Sources
report-steps_note = Steps 1 to { $first } are the textbook calculation; the last { $last } are what the model of the cup does.
