# Namen, die in anderen Sätzen stehen, und wie ein Ansatz vor das gestellt wird, was über ihn gesagt
# wird. Größen stehen ohne Artikel, wie im Kopf einer Spalte, damit kein Satz einen Fall verlangt.

of-run = Ansatz { $run }: { $said }
of-runs = Ansätze { $runs }: { $said }
runs = { $n ->
    [one] Ansatz { $runs }
   *[other] Ansätze { $runs }
    }

# Wovon ein Messwert ist, nach seiner Spalte.
quantity-tare_g = leeres Gefäß
quantity-reagent_start_mL = Bürette mit Reagenz am Anfang
quantity-reagent_end_mL = Bürette mit Reagenz am Ende
quantity-reagent_mL = Volumen Reagenz
quantity-diluent_start_mL = Bürette mit Verdünnungsmittel am Anfang
quantity-diluent_end_mL = Bürette mit Verdünnungsmittel am Ende
quantity-diluent_mL = Volumen Verdünnungsmittel
quantity-vessel_liquid_g = Gefäß mit Flüssigkeit
quantity-pieces = Anzahl der Stücke
quantity-holder_before_g = Schiffchen mit Probe
quantity-holder_after_g = leeres Schiffchen
quantity-sample_g = Probe
quantity-final_g = Endmasse
quantity-temperature_C = Temperatur
quantity-minutes = Wartezeit

# Der feinste Schritt einer Waage.
step-mass = { SIG($step_g, unit: "g") }
instrument-thermometer = Thermometer
