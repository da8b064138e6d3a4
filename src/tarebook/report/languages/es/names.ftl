# Nombres que van dentro de otras frases, y cómo se antepone un ensayo a lo que se dice de él. Las
# magnitudes van sin artículo, como en la cabecera de una columna, para que ninguna frase pida uno.

of-run = Ensayo { $run }: { $said }
of-runs = Ensayos { $runs }: { $said }
runs = { $n ->
    [one] ensayo { $runs }
   *[other] ensayos { $runs }
    }

# De qué es una lectura, según su columna.
quantity-tare_g = vaso vacío
quantity-reagent_start_mL = bureta del reactivo al principio
quantity-reagent_end_mL = bureta del reactivo al final
quantity-reagent_mL = volumen de reactivo
quantity-diluent_start_mL = bureta del diluyente al principio
quantity-diluent_end_mL = bureta del diluyente al final
quantity-diluent_mL = volumen de diluyente
quantity-vessel_liquid_g = vaso con líquido
quantity-pieces = número de piezas
quantity-holder_before_g = navecilla con la muestra
quantity-holder_after_g = navecilla vacía
quantity-sample_g = muestra
quantity-final_g = masa final
quantity-temperature_C = temperatura
quantity-minutes = tiempo de espera

# El paso más fino de una balanza.
step-mass = { SIG($step_g, unit: "g") }
instrument-thermometer = termómetro
