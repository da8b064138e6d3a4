# What makes a content uncertain: the lines of the budget.

budget-of_instrument = { $name }: { $error }
budget-calibration = calibration
budget-graduation_line = graduation line
budget-reading = reading
budget-repeatability = repeatability
budget-rounding = rounding
budget-linearity = linearity
budget-single_weighings = single weighings
budget-single_pours_of_reagent = single pours of reagent
budget-single_pours_of_diluent = single pours of diluent
budget-hold-up = liquid left behind
budget-strength_of_the_stock = strength of the stock
budget-acid_of_the_sample_itself = acid of the sample itself
budget-molar_masses = molar masses
budget-content = content
budget-equilibrium_constants = equilibrium constants
budget-activities = activities
budget-solid_left_over = solid left over
budget-gas_left_dissolved = gas left dissolved
budget-gas_lying_in_the_vessel = gas lying in the vessel
budget-evaporation = evaporation
budget-vapour_in_the_gas = vapor in the gas
budget-warming_and_cooling = warming and cooling
budget-waiting_time_not_read = waiting time not read
budget-gas_that_one_cup_keeps_more_than_another = gas that one cup keeps more than another
budget-acid_that_the_sample_may_bring_although_nobody_says_so = acid that the sample may bring although nobody says so
