# Axes, labels and keys of the charts, and what each shows in words.

charts-reactant = { $what ->
    [reagent] reagent
    [acid] acid
   *[sample] sample
    }
charts-the = { $what ->
    [reagent] the reagent
    [acid] the acid
   *[sample] the sample
    }
charts-limits = { $what ->
    [reagent] reagent limits
    [acid] acid limits
   *[sample] sample limits
    }
charts-axis = { $grows ->
    [sample] sample / g
   *[reagent] reagent poured / mL
    }
charts-along = { $grows ->
    [sample] the sample in g
   *[reagent] the reagent poured in mL
    }
charts-at_sample = { $place } of sample
charts-lost = mass lost / g
charts-made = gas made
charts-made_by_model = gas made, by the model
charts-key = Each point is one run, scaled to the same { $grows ->
    [sample] volume of reagent
   *[reagent] sample mass
    }.
charts-key_model = The thick curve is the model of the cup.
charts-key_lines = The thin dashed lines are those of the textbook calculation.
charts-key_made = A dash above a point is the gas that the run made: what lies between is held back.
charts-key_bars = Bars are 95 %.
charts-key_band = Bars and the shaded band are 95 %.
charts-key_marks = Marks: { $marks }.
charts-mark_reagent = circle, the reagent limits
charts-mark_acid = circle, the acid limits
charts-mark_sample = square, the sample limits
charts-mark_not_sure = diamond, not sure
charts-mark_not_used = hollow circle, not used
charts-all_acid = acid is all in the cup, poured and brought by the sample
charts-equivalence = equivalence point
charts-meet = textbook calculation:{ $wrap }lines meet at{ $wrap }{ $found }
charts-not_used = { $run } (not used)
charts-no_sample = { $run } (no sample)
charts-chance = chance that { $what ->
    [acid] the acid
   *[reagent] the reagent
    } limits / %
charts-content = content / %
charts-claim = label: { $percent }
charts-ph = pH at the last weighing
charts-ph_note = The model's pH when each cup was weighed for the last time; bars are 95 %.
charts-ph_hollow = Hollow: the solution is stronger than the activity model is meant for, so the pH is good to some tenths only.

## For those who cannot see a chart

charts-curve_alt = Chart of the mass lost in g against { $along }, { $n ->
    [one] one run
   *[other] { $n } runs
    }.
charts-model_alt = The model's curve rises while { $rising } limits and { $goes_on } where { $beyond } limits; by the model both are used up at { $at }.
charts-lines_alt = The textbook calculation's line rises while { $rising } limits and { $goes_on } where { $beyond } limits; its two lines meet at { $at }.
charts-falls = falls again
charts-falls_from = falls again from { $top }
charts-levels = bends into a level
charts-levels_at = bends into a level of { $top }
charts-stays = stays level at { $top }
charts-limiting_alt = Chart of the chance that { $what ->
    [acid] the acid
   *[reagent] the reagent
    } limits: { $each }.
charts-budget_alt = Bars of the share of each source in the variance of the content: { $each }.
