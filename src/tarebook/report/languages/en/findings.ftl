# What the checks noticed. The key is the code of the finding; `.do` says what to do now.
# Findings about one run begin with "Run 3:", which is put before them.

## Single readings

run-missing = planned, but there are no readings of it.
    .do = Do this run while the bench is still set up, or take it out of the plan.
run-not-planned = there are readings of it, but it is not in the plan.
    .do = Nothing, if it was added at the bench. Otherwise check the name of the run.
reading-missing = { NAME("quantity", $quantity) } was not read.
    .do = Read it now if the cup is still there. If not, leave it blank.
reading-impossible = { $why ->
    [too-low] { NAME("quantity", $quantity) } is written as { READING($typed, $quantity) }, which is impossible.
   *[too-much] { NAME("quantity", $quantity) } is written as { READING($typed, $quantity) }, more than the whole { $vessel } holds ({ SIG($capacity_mL, unit: "mL") }).
    }
    .do = { $why ->
    [too-low] Look at the sheet again: a sign or a digit is wrong.
   *[too-much] Look at the sheet again: a digit or the decimal point is wrong. Or correct capacity_mL in the table [vessel] of the definition.
    }
liquid-below-tare = the vessel with the liquid is not heavier than the empty vessel.
    .do = Weigh the vessel again. Was the balance set to zero with the vessel on it?
final-above-start = at the end the vessel weighs { SIG($gained_g, unit: "g") } more than everything that went into it.
    .do = Weigh it again. A digit may be wrong, or it is the vessel of another run.
lost-more-than-sample = { SIG($lost_g, unit: "g") } was lost. That is more than the whole sample of { SIG($sample_g, unit: "g") }, and more than all the gas and water that could leave ({ SIG($left_g, digits: 2, unit: "g") }).
    .do = Was anything spilt? Weigh the cup again, and check the digits of all four masses.
unit-mixed-up = { $kind ->
    [temperature] { READING($typed, $quantity) } is not a room temperature.
   *[other] { NAME("quantity", $quantity) } is written as { READING($typed, $quantity) }, about a thousand times { $was ->
        [smaller] more
       *[larger] less
    } than was asked for.
    }
    .do = { $kind ->
    [temperature] Was it read in { $was ->
        [fahrenheit] °F
       *[kelvin] K
    }? That would be { FIX($would_be_C, decimals: 1, unit: "°C") }. Write it in °C.
    [mass] Was it read in { $was ->
        [smaller] milligrams
       *[larger] kilograms
    }? Write it in g.
   *[volume] Was it read in { $was ->
        [smaller] microliters
       *[larger] liters
    }? Write it in mL.
    }
temperature-odd = { READING($typed, $quantity) } is not a room temperature.
    .do = Write the temperature in °C.
not-readable = { READING($typed, $quantity) } cannot be read on the { $instrument }; its finest step is { SIG($finest_step) }.
    .do = Write what you saw and no finer, or correct the instrument in the definition.
read-often = { NAME("quantity", $quantity) } was read { $times } times. The middle one, { READING($typed, $quantity) }, is used for all of them.
    .do = Nothing, if it really was read that often. Otherwise take back the entries that are not readings.
above-capacity = { $capacity ->
    [balance] { READING($typed, $quantity) } is more than the { $instrument } can show ({ SIG($capacity_g, unit: "g") }).
   *[ware] { READING($typed, $quantity) } is more than the { $instrument } holds ({ SIG($capacity_mL, unit: "mL") }).
    }
    .do = { $capacity ->
    [balance] Look at the sheet again: a digit or the decimal point is wrong. Or correct capacity_g in the definition.
   *[ware] If you poured it in several fillings, write them with + between them, as in 20 + 15: each is read anew and leaves liquid behind. If not, check the digits.
    }
