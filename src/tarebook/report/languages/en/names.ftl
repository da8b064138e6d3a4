# Names that stand inside other sentences, and how a run is put before what is said of it.

of-run = Run { $run }: { $said }
of-runs = Runs { $runs }: { $said }
runs = { $n ->
    [one] run { $runs }
   *[other] runs { $runs }
    }

# What a reading is of, by its column.
quantity-tare_g = the empty vessel
quantity-reagent_start_mL = the reagent burette at the start
quantity-reagent_end_mL = the reagent burette at the end
quantity-reagent_mL = the reagent poured
quantity-diluent_start_mL = the diluent burette at the start
quantity-diluent_end_mL = the diluent burette at the end
quantity-diluent_mL = the diluent poured
quantity-vessel_liquid_g = the vessel with the liquid
quantity-pieces = the number of pieces
quantity-holder_before_g = the holder with the sample
quantity-holder_after_g = the empty holder
quantity-sample_g = the sample
quantity-final_g = the final mass
quantity-temperature_C = the temperature
quantity-minutes = the waiting time

# The finest step of a balance.
step-mass = { SIG($step_g, unit: "g") }
instrument-thermometer = thermometer
