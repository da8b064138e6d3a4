key-title = Key for the instructor
key-warning = Not for students.
key-answers = Answers to the questions
key-table = Run by run
key-column_run = run
key-column_reagent =
    { $name }
    mmol
key-column_analyte =
    { $name }
    mmol
key-column_limits = limiting
key-column_gas =
    { $gas } by equation
    g
key-column_lost =
    loss on the balance
    g
key-column_stays =
    stays behind
    g
key-table_note = By equation: what the limiting reactant gives, with { $content } of { $analyte } in the sample and { $mass } of sample in every run. On the balance: what the model of the vessel expects to be missing at the last weighing, { $minutes } min after the fizzing; some gas stays dissolved or lies in the vessel, some water leaves with it. Real readings scatter about it.
key-table_note_none = By equation: what the limiting reactant gives, with { $content } of { $analyte } in the sample and { $mass } of sample in every run. What stays dissolved is not known here for this reaction or this strength.
key-equivalence = Both used up at { $volume } of { $name } (by the equation).
key-look = What to look for
key-look_1 = The textbook calculation takes the loss on the balance for the gas made, so it finds too little { $analyte } where gas stays behind: here { $percent } too little at the end of the row.
key-look_1_sample = Gas that stays behind in all vessels alike moves the rising line down and leaves its slope: take the content of { $analyte } from the slope. Run { $run } alone would give { $percent } too little.
key-look_2 = The liquid always weighs somewhat less than its volumes say, since some stays behind in the ware at each pour: here about { $lacks }, in a good group up to { $usual }. So compare before you judge.
key-look_2_between = { $least } to { $most }
key-look_2_vessel = A vessel that lies more than { $limit } from those of its own group that were poured alike has probably lost liquid, or a scale was misread: from about there on the check of the readings names it.
key-look_2_room = If all vessels of a group lie more than { $limit } from those of the other groups, look at how it reads its scales and drains its ware.
key-look_2_alone = If all vessels of a group lack more than { $limit }, look at how it reads its scales and drains its ware.
key-look_3 = The equivalence point shows best when runs lie on both sides of it: { $below } below, { $above } above.
key-look_4 = The sample brings acid of its own, { $amount } mmol of H⁺ per gram ({ $acids }): it counts with the acid poured, so more gas comes than the poured acid alone could give.
key-column_own =
    own acid
    mmol H⁺
key-acid_limits = acid
key-note_own = The acid of the sample counts with the acid poured: where it says acid, both together are used up first.
key-note_two_steps = Up to half of the acid that all { $analyte } needs there is no gas: carbonate turns into hydrogen carbonate first.
key-equivalence_sample = Both used up at { $mass } of sample (by the equation).
key-equivalence_both = Both used up at { $volume } of { $name } by the equation; at { $read } as read, since some of each pour stays behind.
key-equivalence_sample_both = Both used up at { $mass } of sample by the equation; at { $read } as read, since some of each pour stays behind.
key-equivalence_own_all = The acid of the sample alone uses up all { $analyte }: by the equation the poured { $name } changes nothing.
key-look_5 = The vessel without { $name } shows the acid of the sample alone: { $mass } of { $gas } by the equation. Each mL poured adds to that, up to { $volume } as read; from there on acid is left over and the loss stays the same.
key-look_6 = The first vessels, up to { $volume } of { $name }, lose next to nothing: there carbonate turns into hydrogen carbonate. That is right, not a failed run.
key-look_7 = The loss is not the gas alone: of the { $lost } that run { $run } loses about { $water } ({ $percent }) is water, which leaves as vapor with the warm gas and while the vessel waits. The textbook calculation takes it for { $gas } and finds too much { $analyte }; a vessel without sample shows what evaporates.
key-look_6_sample = Beyond { $mass } of { $name } the gas falls again: each gram more takes acid away from the hydrogen carbonate of the others. From { $none } on a vessel loses next to nothing. That is right, not a failed run.
key-table_note_sample = By equation: what the limiting reactant gives, with { $content } of { $analyte } in the sample and the sample that the row asks for in each run. On the balance: what the model of the vessel expects to be missing at the last weighing, { $minutes } min after the fizzing; some gas stays dissolved or lies in the vessel, some water leaves with it. Real readings scatter about it.
key-table_note_none_sample = By equation: what the limiting reactant gives, with { $content } of { $analyte } in the sample and the sample that the row asks for in each run. What stays dissolved is not known here for this reaction or this strength.
key-look_4_open = Nobody says how much acid the sample brings ({ $acids }); the table takes { $amount } mmol of H⁺ per gram. The real row may differ by a great deal: the vessels with little reagent show it.
