# Why there is no result, or why a run is not used: the end of a sentence, without a full stop.

not-known-why = the row gives no result
out-of-range = { $name } is { SIG($value, digits: 4) }{ $unit ->
    [1] {""}
   *[other] {" "}{ $unit }
    }, allowed is { $allowed }

## The textbook calculation

too-few-for-lines = the two lines need { $needed } usable runs, and there { $runs ->
    [0] are none
    [one] is one
   *[other] are { $runs }
    }
runs-alike = two runs have so nearly the same { $grows ->
    [reagent] reagent per gram of sample
   *[sample] sample per portion of reagent
    } that no line can be drawn
loss-does-not-grow = the mass lost does not grow with the { $grows ->
    [reagent] reagent
   *[sample] sample
    }
one-straight-line = all runs follow one straight line, so the same reactant limits in each of them. Add runs with less and with more { $grows ->
    [reagent] reagent
   *[sample] sample
    }
no-break = the two lines would meet between { $grows ->
    [sample] { FIX($low, decimals: 2) } and { FIX($high, decimals: 2) } g of sample for { SIG($fixed, unit: "mL") } of reagent
   *[reagent] { FIX($low, decimals: 1) } and { FIX($high, decimals: 1) } mL of reagent for { SIG($fixed, unit: "g") } of sample
    }, and fewer than two runs have { $side ->
    [left] less
   *[right] more
    } than that. Add runs with { $side ->
    [left] less
   *[right] more
    } { $grows ->
    [sample] sample
   *[reagent] reagent
    }
repetitions-without-point = within the uncertainty of the readings, { PERCENT($part, digits: 2) } of repetitions of this row would show no equivalence point
weighed-closed = weighed in a closed vessel: its gas is weighed with it, so it lies on neither line
before-gas = the first half of the acid only turns carbonate into hydrogen carbonate, so this cup makes hardly any gas
stays-dissolved = so little sample makes little gas, and most of it stays dissolved: the rising line begins beyond this cup
not-read = not read: { NAME("quantity", $lacking) }
cup-without-sample = a cup without sample: it shows what evaporates
sample-read-as = the sample is written as { SIG($sample_g, unit: "g") }
no-reagent-poured = no reagent was poured, so this cup has no place among those that all got the same amount of it
no-usable-reading = none of its readings can be used

## The full model

too-few-for-model = the full model needs { $needed } usable runs, and there { $runs ->
    [0] are none
    [one] is one
   *[other] are { $runs }
    }
no-joint-fit = no setting of the model comes near enough to the readings to choose one. Settle first what was found odd about the readings and the definition
readings-against-model = the readings and the full model cannot both be right, so a content would mean nothing
gas-kept-unknown = how much of the gas stays in the liquid is not known for this reaction
columns-exchanged-withheld = two columns of the sheet stand in each other's place
acid-not-defined = the cups lost gas that the reagent poured cannot have made, so the sample brings acid that the definition does not know of
base-not-defined = wherever the reagent limits, less gas left than the reagent poured should have made, so the sample takes up acid in a way that the definition does not know of
open-all-used-up = the readings do not determine what the sample holds. The reagent was used up in every run, so more of the analyte would change nothing: add runs with more reagent or with less sample
open-may-be-used-up = the readings do not determine what the sample holds. The reagent may have been used up in every run, even in those with most of it, so more of the analyte would change nothing: add runs with more reagent or with less sample
open-no-gas = the readings do not determine what the sample holds. No gas left the vessels: what so little sample makes stays dissolved. Take more sample or less liquid, and check that it fizzes
open-none-fits = the readings do not determine what the sample holds. No content between { SIG($low) } and { SIG($high) } g/g fits them: check the strength of the stock, the reaction and the units of the masses
open-too-few-readings = the readings do not determine what the sample holds. Too many are missing: take those that can still be taken
open-too-uncertain = the readings do not determine what the sample holds. They are too uncertain: take larger amounts or better instruments
open-water-hides-gas = the readings do not determine what the sample holds. By the full model about as much water left, as vapor and by evaporation, as gas, and how much that was is not known well enough: weigh as soon as the fizzing stops, let it react in more liquid so that it stays cool, or measure the volume of the gas
