# Was einen Gehalt unsicher macht.

budget-of_instrument = { $name }: { $error }
budget-calibration = Kalibrierung
budget-graduation_line = Teilstrich
budget-reading = Ablesen
budget-repeatability = Wiederholbarkeit
budget-rounding = Runden
budget-linearity = Linearität
budget-single_weighings = einzelne Wägungen
budget-single_pours_of_reagent = einzelne Volumina des Reagenzes
budget-single_pours_of_diluent = einzelne Volumina des Verdünnungsmittels
budget-hold-up = zurückbleibende Flüssigkeit
budget-strength_of_the_stock = Konzentration der Stammlösung
budget-acid_of_the_sample_itself = Säure der Probe selbst
budget-molar_masses = molare Massen
budget-content = Gehalt
budget-equilibrium_constants = Gleichgewichtskonstanten
budget-activities = Aktivitäten
budget-solid_left_over = übriger Feststoff
budget-gas_left_dissolved = gelöst gebliebenes Gas
budget-gas_lying_in_the_vessel = Gas im Gefäß
budget-evaporation = Verdunstung
budget-vapour_in_the_gas = Dampf im Gas
budget-warming_and_cooling = Erwärmung und Abkühlung
budget-waiting_time_not_read = nicht notierte Wartezeit
budget-gas_that_one_cup_keeps_more_than_another = Gas, das ein Gefäß mehr zurückhält als ein anderes
budget-acid_that_the_sample_may_bring_although_nobody_says_so = Säure, die die Probe mitbringen mag, ohne dass es jemand sagt
