question-q_equation = Ajustar la ecuación: { $species }. ¿Qué producto sale del vaso?
question-q_amount = M({ $analyte }) = { $molar } g/mol. ¿Cuántos mmol de { $analyte } hay en { $mass } de muestra ({ $content })?
question-q_reagent = ¿Cuántos mmol de { $reagent } hay en los { $volume } del ensayo { $run }?
question-q_limiting = ¿Cuál es el reactivo limitante en el ensayo { $first }, y cuál en el ensayo { $last }? Justificar la respuesta.
question-q_gas = ¿Qué masa de { $gas } se espera del ensayo { $run }? M({ $gas }) = { $molar } g/mol.
question-q_equivalence = ¿Con qué volumen de { $name } se gastan justo los dos reactivos? ¿Entre qué dos ensayos está?
question-q_dilution = ¿Cuál sería la concentración de { $reagent } en el ensayo { $run } después de mezclar y antes de añadir la muestra?
question-q_tolerance = El instrumento ({ $ware }) puede desviarse ±{ $tolerance }. ¿Cuántos mmol de { $reagent } son, y qué porcentaje de lo que contiene el ensayo { $run }?
question-q_stopper = Alguien quiere tapar el vaso del ensayo { $run } con un tapón. Sobre el líquido hay { $space } de espacio. ¿Cuánto subiría la presión si todo el gas se quedara en ese espacio? ({ $kelvin } K)
question-a_equation = { $equation }; sale { $gas }.
question-a_amount = { $mass } × { $content } / { $molar } g/mol = { $amount }
question-a_reagent = { $strength } mol/L × { $volume } = { $amount }
question-a_limiting = ensayo { $first }: { $first_reagent } de { $reagent } frente a { $first_analyte } de { $analyte }, así que limita { $first_limits }; ensayo { $last }: { $last_reagent } frente a { $last_analyte }, así que limita { $last_limits }{ $ratio }
question-a_ratio = {" "}(cada cantidad dividida por su coeficiente en la ecuación: { $reagent_number } y { $analyte_number })
question-a_gas = limita { $limiting } y da { $amount } de { $gas }: { $amount } × { $molar } g/mol = { $mass }
question-a_equivalence = { $amount }{ $ratio } / { $strength } mol/L = { $volume }; { $between }
question-a_between = entre el ensayo { $low } y el ensayo { $high }
question-a_outside = fuera de la serie
question-a_dilution = { $strength } mol/L × { $volume } / { $total } = { $result } mol/L
question-a_tolerance = { $strength } mol/L × { $tolerance } = { $amount }, es decir, { $percent } de { $whole }
question-a_stopper = p = n R T / V = { $amount } × { FIX(8.314, decimals: 3) } J/(mol K) × { $kelvin } K / { $space } = { $pressure }, además de la del aire. Puede reventar.
question-q_own_acid = La muestra aporta además { $amount } de H⁺ por gramo. ¿Cuántos mmol son en { $mass } de muestra, y qué hacen en un vaso sin { $reagent }?
question-a_own_acid = { $mass } × { $amount }/g = { $own }. Reacciona con { $analyte } igual que el ácido vertido; por eso sale { $gas } incluso donde no se vertió { $reagent }: { $made } según la ecuación.
question-a_limiting_own = Cuenta todo el ácido, el de la muestra y el vertido. Ensayo { $first }: { $first_own } de H⁺ de la muestra + { $first_reagent } de { $reagent } frente a { $first_analyte } de { $analyte }, así que limita { $first_limits }; ensayo { $last }: { $last_own } + { $last_reagent } frente a { $last_analyte }, así que limita { $last_limits }{ $ratio }
question-the_acid = el ácido
question-a_gas_own = limita { $limiting }; según la ecuación da { $amount } de { $gas }: { $amount } × { $molar } g/mol = { $mass }
question-a_gas_two_steps = limita { $limiting }, y la mitad de lo que necesita todo el { $analyte } forma primero hidrogenocarbonato; lo que pasa de ahí da { $amount } de { $gas }: { $amount } × { $molar } g/mol = { $mass }
question-a_equivalence_own = ({ $amount }{ $ratio } − { $own } del ácido de la muestra) / { $strength } mol/L = { $volume }; { $between }
question-a_equivalence_own_all = no hace falta: el ácido de la muestra ({ $own }) gasta por sí solo todo el { $analyte } ({ $amount }{ $ratio })
question-q_equivalence_sample = ¿Con qué masa de muestra se gastan justo los dos reactivos? ¿Entre qué dos ensayos está?
question-a_equivalence_sample = el ácido vertido, { $reagent }, y el de la muestra frente al { $analyte } de cada gramo: { $mass }; { $between }
