# How each number was made: the name of a step, its rule, and the rule with this row's numbers.

derivation-of_run = run { $run }: { $worked }
derivation-amount = Amount of reagent
    .rule = n({ $species }) = strength × volume poured
derivation-lost = Gas found
    .rule = mass lost = vessel with liquid + sample − vessel at the end
derivation-limiting = Limiting reactant and yield
    .rule = divide each amount by its number in the equation; the smaller one limits and says how much { $gas } to expect; yield = found / expected
    .worked = { $first } and { $second }, so { $smaller } limits; expected { $expected }, yield { $yield }
derivation-no_yield = no yield
derivation-uncertainty = Uncertainty
    .rule = every reading is shifted at random within its tolerance and everything is worked out again; the spread of the answers is u, their middle 95 % the interval
    .worked = { $draws } repetitions, started from seed { $seed }
derivation-fit = One fit for the row
    .rule = the content, the other parameters and the true volumes and masses are those that make the sum of ((read − expected) / u)² smallest, over all readings and everything that was known beforehand
    .worked = { $n } readings of { $runs } runs: smallest sum χ² = { $chi2 }, content { $content }
derivation-chance = Chance that one limits
    .rule = from the amounts that the fit finds and their u: how probable it is that the reagent and the acid of the sample together are less than what the sample takes
    .worked = the numbers stand under “{ $title }”
derivation-made = Gas made
    .rule = mass lost + gas still dissolved + gas lying in the vessel − vapor − water evaporated + buoyancy of the air and error of the balance
derivation-lines = Two lines
    .rule = Divide gas and volume by the sample mass of the run. While the reagent limits, gas = a + b × volume; once the sample limits, gas = p.
    .worked = per gram of sample: a + b × volume = { $a } { $rise } × volume; p = { $p } of gas
derivation-longer = The next steps take these numbers one digit longer than their u allows.
derivation-lines_of_sample = Two lines
    .rule = Scale gas and sample of each run to { $portion } of reagent. While the sample limits, gas = a + b × sample; once { $acid ->
        [acid] the acid
       *[reagent] the reagent
        } is used up, gas = { $shape ->
        [level] p
        [rising] p + k × sample
       *[falling] p − k × sample
        }.
    .worked = for { $portion } of reagent: a + b × sample = { $a } + { $b } × sample; { $beyond }
derivation-why_falling = There each gram more takes acid from the hydrogen carbonate of the others, so the gas falls as steeply as it rose.
derivation-why_rising = There only the acid that each further gram brings itself makes gas.
derivation-level_of_gas = p = { $p } of gas
derivation-meet = Equivalence point
    .rule = the lines meet at (p − a) / b; times the nominal sample mass
derivation-meet_of_sample = Equivalence point
    .rule = the lines meet at (p − a) / { $below }: there both are just used up
    .worked = { $sum } of sample
derivation-plateau = Content from the plateau
derivation-slope = Content from the slope
    .rule = each gram of sample makes b grams of { $gas }: { $formula }
derivation-second = Content from the equivalence point
    .rule = w = strength × { $volume }{ $ratio } × M({ $analyte }) / { $sample }
    .rule_with_acid = w = (strength × { $volume }{ $ratio } / { $sample } + acid of the sample{ $share }) × M({ $analyte })
derivation-volume_there = volume at the equivalence point
derivation-sample_mass = sample mass
derivation-volume = volume of reagent
derivation-sample_there = sample at the equivalence point
