# What the full model says: its fit, its parameters and the way to it from the textbook calculation.

model-about = The model of the cup follows every run from the pour to the last weighing: what stays behind in the measuring vessel, how acid and sample react, how much gas stays dissolved or lies in the vessel, what evaporates, and what a balance shows of it all. It is fitted to all readings of all runs at once, together with what is known beforehand of the instruments and of the cup. How it is derived, what it assumes and when not to trust it stands in the documentation, in the chapter on the model of the cup.
model-usual_open = The textbook calculation has no result for this row: { $why }.
model-usual = The textbook calculation counts the mass lost as the { $gas } made and gives { $found }, { $apart } percentage points { $way ->
    [lower] lower
   *[higher] higher
    }.
model-usual_slope = It comes from the slope of the rising line, which gas that stays behind equally in all cups does not change. Its ± treats what one cup keeps more than another as an error of each cup; cups with more sample keep more, so it is usually 1 to 3 % too low.
model-usual_leaves_out = Its ± does not cover what it leaves out, most of all { $effect }.
model-verdicts_both_agree = By that calculation too the sample agrees with its label ({ $times } apart).
model-verdicts_full_agrees = By that calculation alone the label would look wrong ({ $times } apart).
model-verdicts_usual_agrees = By that calculation alone the label would look right ({ $times } apart).
model-verdicts_none_agrees = By that calculation too the sample does not agree with its label ({ $times } apart).
model-waterfall_note = Each bar is what one effect changes in the content, in percentage points, once all above it are counted; how much each adds depends a little on the order.
model-fit_untested = There is no reading to spare in this row, so nothing can test the fit.
model-fit = The readings lie { $how_well ->
    [poor] farther from the model than their uncertainties allow: a reading is wrong, or the model does not hold here
    [fair] a little farther from the model than their uncertainties promise
    [too_good] closer to the model than their uncertainties promise: these may be stated too wide
   *[good] as close to the model as their uncertainties promise
    } (χ² = { $chi2 } for { $dof ->
    [one] { $dof } degree of freedom
   *[other] { $dof } degrees of freedom
    }; { $chance } of such rows would lie farther off).
model-interval = The 95 % interval is a profile: the content was held at one value after another and everything else fitted again, because the fit is too curved for value ± 1.96 u to be right.
model-residuals_note = Readings more than 2 u from what the model expects from all the others. Where other readings of the run fit as badly, the odd one may be any of them.
model-column_reading = reading
model-column_read = read
model-column_expected = expected
model-column_off = off by
model-column_alike = or as well
model-reading_tare_g = empty vessel
model-reading_reagent_mL = volume of reagent
model-reading_diluent_mL = volume of { $diluent }
model-reading_vessel_liquid_g = vessel with liquid
model-reading_sample_g = sample
model-reading_final_g = vessel at the end
model-parameters_note = Before and after the readings; learned is the part of the variance that they took away.
model-column_before = before
model-column_after = after
model-column_learned = learned
model-column_source = what was known before is from
model-nothing = nothing
model-uninformed = The readings say nothing about: { $names }. What the result owes to these rests on what was known before.
model-confounded = The readings alone cannot tell these apart (with their correlation): { $pairs }. Below zero, one larger and the other smaller would look the same; above zero, both larger.
model-pair = { $first } and { $second } ({ $correlation })
model-assumed = Taken for granted: { $assumption }
model-of_run = { $reading } of run { $run }
model-missing_one_little = Not used: { $which }. With it the content would hardly be known better.
model-missing_one = Not used: { $which }. With it u of the content would be { $with_it } instead of { $without } percentage points.
model-missing_little = { $n } readings were not taken or are not used. With any one of them the content would hardly be known better.
model-missing = { $n } readings were not taken or are not used. The one missed most is { $which }: with it u of the content would be { $with_it } instead of { $without } percentage points.
model-waterfall_alt = Bars from the textbook calculation to the model, content in %: { $each }.
model-ph_alt = Chart of the pH at the last weighing against { $along }: { $each }.

## Effects

model-effect_buoyancy = buoyancy of the air
    .words = Air carries part of the weight of whatever lies on the balance.
model-effect_calibration = scales of the vessels
    .words = The scales of the two measuring vessels are a little long or short.
model-effect_hold-up = liquid left at each pour
    .words = A little liquid stays behind in the measuring vessel at every pour.
model-effect_own_acid = acid of the sample itself
    .words = Acid that the sample brings makes gas without any reagent; a base beside the analyte takes up reagent without making gas.
model-effect_dissolved_gas = gas that stays dissolved
    .words = Some of the gas made stays dissolved, and unreacted sample holds back more of it.
model-effect_head_gas = gas lying in the vessel
    .words = Some of the gas lies in the vessel, where it has displaced air, and is weighed with it.
model-effect_vapour = vapor leaving with the gas
    .words = The gas that leaves carries water vapor with it.
model-effect_evaporation = water that evaporates
    .words = Water evaporates while the vessel stands and waits.
model-effect_cooling = cooling by the reaction
    .words = The reaction cools or warms the liquid: a cold one holds more gas, a warm one loses more vapor.
model-effect_usual_sum = textbook calculation
model-effect_all_readings_weighed_together = all readings together
    .words = The textbook calculation reads the content off the level part of the row alone. Here every reading of every run counts, and exact ones count for more: those of the rising part too, where volume and strength of the reagent say how much reacted.
    .words_sample = The textbook calculation reads the content off the slope of the rising line alone. Here every reading of every run counts, and exact ones count for more: those beyond the rise too, where volume and strength of the reagent say how much reacted.
model-whole = model of the cup

## Parameters

model-of_content = { $analyte } in the sample
model-of_own_acid = acid of the sample itself
model-of_concentration = strength of the reagent
model-of_scale_reagent = scale error, vessel of the reagent
model-of_scale_diluent = scale error, vessel of the { $diluent }
model-of_hold_up_reagent = reagent left at each pour
model-of_hold_up_diluent = { $diluent } left at each pour
model-of_gas_pressure = { $gas } pressure in the liquid
model-of_degassing = how fast that pressure falls
model-of_head_fraction = head space still full of { $gas }
model-of_evaporation = water that evaporates
model-of_vapour_saturation = moisture of the leaving gas
model-of_heat_kept = heat of reaction kept by the liquid
model-of_waiting = waiting time where not read, times planned
model-of_first_pk_shift = shift of carbonic acid's first pK
model-of_activity = gas kept for the activities, in u of the model
model-of_saturation = ln of the saturation with the solid left over

## What the model takes for granted

model-no_equilibrium = No equilibrium is known here for { $analyte } and { $reagent }: the reaction is taken to go to the end{ $heat ->
    [yes] {""}
   *[no] {" "}and the temperature not to change
    }; no pH is given.
model-dissolves_so_far = { $analyte } that finds no acid is taken to dissolve as far as its solubility product allows, give or take a factor of two in the saturation.
model-acid_has_no_part = Acid of the sample itself is taken to have no part in making { $gas }.
model-acid_without_name = The definition does not name the acid of the sample; it is taken for citric acid.
model-acid_taken_for_strong = The acid of the sample that has no name is taken for a strong one.
model-may_hold_base = The sample may hold some base that gives no gas, as burnt lime does; that widens the interval. If it cannot, write own_acid = "none" under [sample].
