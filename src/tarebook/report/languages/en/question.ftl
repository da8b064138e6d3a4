question-q_equation = Balance the equation: { $species }. Which product leaves the vessel?
question-q_amount = M({ $analyte }) = { $molar } g/mol. How much { $analyte }, in mmol, is in { $mass } of sample ({ $content })?
question-q_reagent = How much { $reagent }, in mmol, is in the { $volume } of run { $run }?
question-q_limiting = Which reactant is limiting in run { $first }, and which in run { $last }? Show how you decide.
question-q_gas = What mass of { $gas } do you expect from run { $run }? M({ $gas }) = { $molar } g/mol.
question-q_equivalence = At what volume of { $name } are both reactants just used up? Between which two runs does it lie?
question-q_dilution = What would be the concentration of { $reagent } in run { $run } after mixing, before the sample is added?
question-q_tolerance = The { $ware } may be off by ±{ $tolerance }. How much { $reagent } is that, in mmol, and how many percent of what run { $run } holds?
question-q_stopper = Someone wants to keep the vessel of run { $run } closed with a stopper. It has { $space } of space above the liquid. How much would the pressure rise, if all the gas stayed in that space? ({ $kelvin } K)
question-a_equation = { $equation }; { $gas } leaves.
question-a_amount = { $mass } × { $content } / { $molar } g/mol = { $amount }
question-a_reagent = { $strength } mol/L × { $volume } = { $amount }
question-a_limiting = run { $first }: { $first_reagent } of { $reagent } against { $first_analyte } of { $analyte }, so { $first_limits } is limiting; run { $last }: { $last_reagent } against { $last_analyte }, so { $last_limits } is limiting{ $ratio }
question-a_ratio = {" "}(each amount divided by its number in the equation: { $reagent_number } and { $analyte_number })
question-a_gas = { $limiting } is limiting and gives { $amount } of { $gas }: { $amount } × { $molar } g/mol = { $mass }
question-a_equivalence = { $amount }{ $ratio } / { $strength } mol/L = { $volume }; { $between }
question-a_between = between run { $low } and run { $high }
question-a_outside = outside the row
question-a_dilution = { $strength } mol/L × { $volume } / { $total } = { $result } mol/L
question-a_tolerance = { $strength } mol/L × { $tolerance } = { $amount }, that is { $percent } of { $whole }
question-a_stopper = p = n R T / V = { $amount } × 8.314 J/(mol K) × { $kelvin } K / { $space } = { $pressure }, on top of the air's. It may burst.
question-q_own_acid = The sample also brings { $amount } of H⁺ for each gram. How much is that, in mmol, in { $mass } of sample, and what does it do in a vessel without { $reagent }?
question-a_own_acid = { $mass } × { $amount }/g = { $own }. It reacts with { $analyte } as the poured acid does, so { $gas } leaves even where no { $reagent } was poured: { $made } by the equation.
question-a_limiting_own = All acid counts, that of the sample and that poured. Run { $first }: { $first_own } of H⁺ from the sample + { $first_reagent } of { $reagent } against { $first_analyte } of { $analyte }, so { $first_limits } is limiting; run { $last }: { $last_own } + { $last_reagent } against { $last_analyte }, so { $last_limits } is limiting{ $ratio }
question-the_acid = the acid
question-a_gas_own = { $limiting } is limiting; by the equation that gives { $amount } of { $gas }: { $amount } × { $molar } g/mol = { $mass }
question-a_gas_two_steps = { $limiting } is limiting, and half of what all { $analyte } needs makes hydrogen carbonate first; what is beyond that gives { $amount } of { $gas }: { $amount } × { $molar } g/mol = { $mass }
question-a_equivalence_own = ({ $amount }{ $ratio } − { $own } from the acid of the sample) / { $strength } mol/L = { $volume }; { $between }
question-a_equivalence_own_all = none is needed: the acid of the sample ({ $own }) alone uses up all { $analyte } ({ $amount }{ $ratio })
question-q_equivalence_sample = At what mass of sample are both reactants just used up? Between which two runs does it lie?
question-a_equivalence_sample = the acid poured, { $reagent }, and that of the sample against the { $analyte } in each gram: { $mass }; { $between }
