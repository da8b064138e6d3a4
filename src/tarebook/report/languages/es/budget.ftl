# Lo que hace incierto un contenido.

budget-of_instrument = { $name }: { $error }
budget-calibration = calibración
budget-graduation_line = trazo de la escala
budget-reading = lectura
budget-repeatability = repetibilidad
budget-rounding = redondeo
budget-linearity = linealidad
budget-single_weighings = pesadas sueltas
budget-single_pours_of_reagent = vertidos sueltos de reactivo
budget-single_pours_of_diluent = vertidos sueltos de diluyente
budget-hold-up = líquido que se queda
budget-strength_of_the_stock = concentración de la disolución madre
budget-acid_of_the_sample_itself = ácido de la propia muestra
budget-molar_masses = masas molares
budget-content = contenido
budget-equilibrium_constants = constantes de equilibrio
budget-activities = actividades
budget-solid_left_over = sólido sobrante
budget-gas_left_dissolved = gas que queda disuelto
budget-gas_lying_in_the_vessel = gas dentro del vaso
budget-evaporation = evaporación
budget-vapour_in_the_gas = vapor en el gas
budget-warming_and_cooling = calentamiento y enfriamiento
budget-waiting_time_not_read = espera sin anotar
budget-gas_that_one_cup_keeps_more_than_another = gas que un vaso retiene más que otro
budget-acid_that_the_sample_may_bring_although_nobody_says_so = ácido que la muestra puede traer sin que nadie lo diga
