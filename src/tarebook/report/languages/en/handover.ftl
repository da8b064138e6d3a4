handover-stage = Stage: { $stage }
handover-stage_planned = planned
handover-stage_poured = poured
handover-stage_sample_weighed = sample weighed
handover-stage_reacted = reacted
handover-stage_finished = finished
handover-stages = { $first } to { $last }
handover-verdict_fit = Fit for the next step
handover-verdict_fit_with_remarks = Fit for the next step, with remarks
handover-verdict_not_fit = Not fit yet: settle what is said below first
handover-answer_planned = Nothing has been poured yet. Cups planned: { $n }.
handover-answer_tares = Some cups were weighed empty; nothing has been poured yet. Cups planned: { $n }.
handover-answer_poured = All { $n } cups hold their liquid and wait for the sample.
handover-answer_sample_weighed = All { $n } cups hold their liquid, and their samples are weighed.
handover-answer_reacted = All { $n } cups have their sample in them and wait for the last weighing.
handover-answer_mixed = Cups: { $parts }.
handover-count_planned = { $n } still empty
handover-count_poured = { $n } filled without sample
handover-count_sample_weighed = { $n } with their sample weighed
handover-count_reacted = { $n } waiting for the last weighing
handover-count_finished = { $n } finished
handover-and = and
handover-more = And { $n } more, below.
handover-planned = What is planned
handover-planned_note_alone = Write down what was read, not what was asked for.
handover-planned_note = Pour the { $diluent } first, then the { $reagent }. Write down what was read, not what was asked for.
handover-cups = What is in each cup
handover-to_come = What each cup should lose, and weigh at the end
handover-to_lose = What each cup should lose
handover-table = table
handover-next = What to do next
handover-handed_on = Handed on
handover-what = what
handover-who = who
handover-when = when
handover-noticed = What was noticed
handover-nothing_odd = Nothing odd was noticed.
handover-beside_plan = Beside the plan
handover-invented = Invented data.
handover-do_pour = Weigh each { $vessel } empty. Pour the { $diluent } first, then the { $reagent }; write down both volumes as they are read. Weigh it with its liquid.
handover-do_pour_alone = Weigh each { $vessel } empty. Pour the { $reagent }; write down the volume as it is read. Weigh it with its liquid.
handover-do_weigh_own_sample = Weigh a portion of { $sample } for each cup, as much as its row asks for, and write it down.
handover-do_weigh_sample = Weigh a portion of { $sample } for each cup ({ $mass }, unless its row says otherwise) and write it down.
handover-do_weigh_again = If a cup stood for more than a few minutes since it was weighed with its liquid, weigh it again right before adding the sample: some { $evaporation } of water leave it in an hour and would count as gas. Correct the reading; what stood there before stays in the record.
handover-do_settle = First settle what stands under “{ $noticed }”: look again, read again, or fill that cup anew. Only then go on.
handover-do_add = Add the sample, a little at a time where it foams, and swirl until the fizzing stops.
handover-do_finish = Wait { $minutes } from the end of the fizzing, write down how long it was, and weigh the cup for the last time.
handover-not_read = Not read yet, by the number of cups: { $readings }.
handover-not_read_one = { $reading } ({ $left } of { $n })
handover-read_tare_g = the empty vessel
handover-read_reagent_mL = the reagent poured
handover-read_diluent_mL = the diluent poured
handover-read_vessel_liquid_g = the vessel with liquid
handover-read_sample_g = the sample
handover-read_final_g = the final mass
handover-done_stock = Stock checked
handover-done_poured = Cups filled and weighed
handover-done_samples = Samples weighed
handover-done_handed = Handed on
handover-done_taken = Taken over
handover-from_to = { $first } to { $last }
handover-column_run = run
handover-column_solution =
    { $formula } solution
    mL
handover-column_in_cup =
    { $formula } in the cup
    mol/L
handover-column_lose =
    will lose
    g
handover-column_between =
    between
    g
handover-column_final =
    will weigh at the end
    g
handover-to = to
handover-cups_note = What was read less what stayed behind. Every ± is one u.
handover-note_from_mass = {"*"} A volume was not read and follows from the mass.
handover-note_from_plan = {"*"} A volume was not read and the plan stands in for it.
handover-note_doubtful = † Mass and volumes contradict one another: the volumes are taken as read.
handover-for_content = For a content of { $low } to { $high } % ({ $basis }).
handover-basis_claimed = about what is claimed
handover-basis_open = since nothing is claimed
handover-portion_note = Where a portion weighs more or less than this, the cup weighs that much more or less at the end.
handover-ranges_note = Ranges are 95 %.
handover-liquid = Liquid weighed and liquid read
handover-liquid_note = Mass of the liquid less the mass that its two volumes say. Below zero: liquid stayed behind in the measuring vessels. The dashed line is the middle of the row; a cup far from it was misread, spilt or poured twice. Bars are 95 %.
handover-column_by_volume =
    liquid by volume
    g
handover-column_by_mass =
    liquid weighed
    g
handover-column_left =
    left behind
    g
handover-left_note = Left behind: liquid by its two volumes, as they were read, less liquid weighed. Its ± holds the errors of this cup's own readings.
handover-column_asked =
    { $name }
    mL asked
handover-column_gap =
    read − asked
    mL
handover-column_as_planned = as planned?
handover-as_planned = as planned
handover-other_limits = another reactant limits
handover-differs = differs; does not matter
handover-plan_note = More than asked for is positive. Whether it matters: whether another reactant would limit than was planned.
handover-note_gap_from_mass = {"*"} Not read: what the scale would have shown, worked out from the mass of the liquid, less what was asked for.
handover-fact_left = Left behind at the two pours of a cup
handover-fact_left_note = by the masses of all cups: reagent { $reagent }, diluent { $diluent }; the sum is known better than either
handover-fact_sides = Sides of the equivalence point
handover-fact_sides_value = { $before } before, { $after } after
handover-fact_sides_note = cups that lie there whatever the content in the range looked at; two are needed on each side
handover-fact_known = The content will be known to
handover-fact_known_note = one u, in percent by mass, if all cups are finished; as planned it was { $planned }
handover-readings = Readings
handover-instruments = Instruments
handover-about_u = The number after ± is u, the standard uncertainty: how far off the value may well be. The 95 % interval is where the true value lies in about 19 of 20 such experiments.
handover-rests_on = Readings of group { $group } from the record: { $count } events, the last with the hash { $hash }.
handover-taken_by = Taken by the definition in event { $event }, SHA-256 { $digest }.
handover-definition_changed = Results are found with a definition that has been changed since.
