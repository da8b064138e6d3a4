question-q_equation = Gleichung ausgleichen: { $species }. Welches Produkt verlässt das Gefäß?
question-q_amount = M({ $analyte }) = { $molar } g/mol. Wie viel { $analyte }, in mmol, ist in { $mass } Probe ({ $content })?
question-q_reagent = Wie viel { $reagent }, in mmol, ist in den { $volume } von Ansatz { $run }?
question-q_limiting = Welcher Reaktionspartner begrenzt in Ansatz { $first }, welcher in Ansatz { $last }? Mit Begründung.
question-q_gas = Welche Masse { $gas } ist aus Ansatz { $run } zu erwarten? M({ $gas }) = { $molar } g/mol.
question-q_equivalence = Bei welchem Volumen { $name } sind beide Partner gerade verbraucht? Zwischen welchen Ansätzen liegt das?
question-q_dilution = Welche Konzentration hat { $reagent } in Ansatz { $run } nach dem Mischen, vor der Zugabe der Probe?
question-q_tolerance = Das Messgerät ({ $ware }) darf um ±{ $tolerance } abweichen. Wie viel { $reagent } ist das, in mmol, und wie viel Prozent von dem in Ansatz { $run }?
question-q_stopper = Jemand will das Gefäß von Ansatz { $run } mit einem Stopfen verschließen. Über der Flüssigkeit sind { $space } Platz. Um wie viel stiege der Druck, wenn alles Gas dort bliebe? ({ $kelvin } K)
question-a_equation = { $equation }; { $gas } entweicht.
question-a_amount = { $mass } × { $content } / { $molar } g/mol = { $amount }
question-a_reagent = { $strength } mol/L × { $volume } = { $amount }
question-a_limiting = Ansatz { $first }: { $first_reagent } { $reagent } gegen { $first_analyte } { $analyte }, also begrenzt { $first_limits }; Ansatz { $last }: { $last_reagent } gegen { $last_analyte }, also begrenzt { $last_limits }{ $ratio }
question-a_ratio = {" "}(jede Menge geteilt durch ihre Zahl in der Gleichung: { $reagent_number } und { $analyte_number })
question-a_gas = { $limiting } begrenzt und gibt { $amount } { $gas }: { $amount } × { $molar } g/mol = { $mass }
question-a_equivalence = { $amount }{ $ratio } / { $strength } mol/L = { $volume }; { $between }
question-a_between = zwischen Ansatz { $low } und Ansatz { $high }
question-a_outside = außerhalb der Reihe
question-a_dilution = { $strength } mol/L × { $volume } / { $total } = { $result } mol/L
question-a_tolerance = { $strength } mol/L × { $tolerance } = { $amount }, das sind { $percent } von { $whole }
question-a_stopper = p = n R T / V = { $amount } × { FIX(8.314, decimals: 3) } J/(mol K) × { $kelvin } K / { $space } = { $pressure }, zusätzlich zum Luftdruck. Es kann bersten.
question-q_own_acid = Die Probe bringt außerdem { $amount } H⁺ je Gramm mit. Wie viel ist das, in mmol, in { $mass } Probe, und was bewirkt es in einem Gefäß ohne { $reagent }?
question-a_own_acid = { $mass } × { $amount }/g = { $own }. Sie reagiert mit { $analyte } wie die abgemessene Säure; deshalb entweicht { $gas } auch dort, wo kein { $reagent } zugegeben wurde: { $made } nach der Gleichung.
question-a_limiting_own = Alle Säure zählt, die der Probe und die abgemessene. Ansatz { $first }: { $first_own } H⁺ aus der Probe + { $first_reagent } { $reagent } gegen { $first_analyte } { $analyte }, also begrenzt { $first_limits }; Ansatz { $last }: { $last_own } + { $last_reagent } gegen { $last_analyte }, also begrenzt { $last_limits }{ $ratio }
question-the_acid = die Säure
question-a_gas_own = { $limiting } begrenzt; nach der Gleichung gibt das { $amount } { $gas }: { $amount } × { $molar } g/mol = { $mass }
question-a_gas_two_steps = { $limiting } begrenzt, und die Hälfte dessen, was alles { $analyte } braucht, macht erst Hydrogencarbonat; was darüber hinausgeht, gibt { $amount } { $gas }: { $amount } × { $molar } g/mol = { $mass }
question-a_equivalence_own = ({ $amount }{ $ratio } − { $own } aus der Säure der Probe) / { $strength } mol/L = { $volume }; { $between }
question-a_equivalence_own_all = keines: die Säure der Probe ({ $own }) verbraucht allein schon alles { $analyte } ({ $amount }{ $ratio })
question-q_equivalence_sample = Bei welcher Masse Probe sind beide Partner gerade verbraucht? Zwischen welchen Ansätzen liegt das?
question-a_equivalence_sample = die abgemessene Säure, { $reagent }, und die der Probe gegen das { $analyte } in jedem Gramm: { $mass }; { $between }
