# What the scripts of the pages say. The pages bring this file along, so that the words are there
# without a network too; Fluent's own runtime for browsers reads it (web/static/bench/words.js).

# How it stands with the server.
pad-must-join = { $device ->
    [phone] This phone has to join again.
    [tablet] This tablet has to join again.
   *[computer] This computer has to join again.
    }
pad-joined-elsewhere = { $device ->
    [phone] This phone has joined another group.
    [tablet] This tablet has joined another group.
   *[computer] This computer has joined another group.
    }
pad-page-old = This page is too old: load it again.
pad-record-replaced = The record is not the one that took the readings: tell the instructor, and go on recording.
pad-offline = No connection. Go on recording.
pad-server-busy = The server is busy and will take the readings in a moment.
pad-looking = Looking for the server …
pad-sending = Sending.
pad-all-sent = All is sent.
pad-waiting = { $n ->
    [one] { $n } reading waits { $device ->
        [phone] on this phone.
        [tablet] on this tablet.
       *[computer] on this computer.
        }
   *[other] { $n } readings wait { $device ->
        [phone] on this phone.
        [tablet] on this tablet.
       *[computer] on this computer.
        }
    }
pad-keeps-nothing = This browser keeps nothing: leave the page open.

# What could not be sent.
pad-of-other-experiment = { $n ->
    [one] { $n } reading of another experiment, { $titles }, { $device ->
        [phone] on this phone.
        [tablet] on this tablet.
       *[computer] on this computer.
        }
   *[other] { $n } readings of another experiment, { $titles }, { $device ->
        [phone] on this phone.
        [tablet] on this tablet.
       *[computer] on this computer.
        }
    }
pad-sent-when-open = They are sent when that experiment is open at this address.
pad-adopt = They belong here: send them
pad-of-other-group = { $n ->
    [one] { $n } reading of group { $group } { $device ->
        [phone] on this phone.
        [tablet] on this tablet.
       *[computer] on this computer.
        }
   *[other] { $n } readings of group { $group } { $device ->
        [phone] on this phone.
        [tablet] on this tablet.
       *[computer] on this computer.
        }
    }
pad-sent-when-joined = They are sent when it joins group { $group } again.
pad-not-recorded-label = Not recorded
pad-not-recorded = Not recorded: run { $run }, { $what }, { $value }.
pad-taking-back = taking it back
pad-forget = Forget it
pad-forget-sure = Yes, forget { $value }
pad-forget-not = No, keep it
pad-type-again = Type it again

# Runs.
pad-run = Run { $run }
pad-run-here = Run { $run }.
pad-run-of = Run { $run } of { $n }
pad-run-link = run { $run }
pad-run-progress = Run { $run }: { $done } of { $of } recorded
pad-run-asks = a question is open
pad-run-not-sent = not all sent
pad-questions-in = { $n ->
    [one] A question is open in
   *[other] Questions are open in
    }
pad-questions-in-runs = { $n ->
    [one] A question is open in run { $runs }.
   *[other] Questions are open in run { $runs }.
    }
pad-sheet-of-other-group = This sheet is for group { $group }; this is group { $own }.
pad-no-such-run = There is no run { $run } in this series.
pad-no-such-run-here = There is no run { $run } in this series: this is run { $here }.
pad-sheet-is-older = This sheet was printed before the definition was changed: use the targets shown here.

# The panel at hand.
pad-run-complete = Run { $run } is complete
pad-second-of = Second reading: { $what }
pad-again-of = Read again: { $what }
pad-change-of = Change: { $what }
pad-scan-sheet = scan a sheet
pad-code-of-sheet = Code of a sheet
pad-in-unit = { $what }, in { $unit }
pad-now = now
pad-target = target
pad-target-is = target { $target }
pad-expected-is = expected { $range }
pad-with-instrument = with the { $instrument }
pad-in-it = { $amount } in it
pad-range = { $low } to { $high }
pad-go-to-run = Go to run { $run }
pad-see-results = See the results
pad-run-recorded = Everything in this run is recorded.
pad-series-recorded = Everything in the series is recorded.
pad-balance-shows = The balance shows { $value }.
pad-why = { $change }. Why?
pad-change = { $before } → { $after }
pad-is-taken-back = { $value } is taken back
pad-type-first = Type what the instrument shows first.
pad-is-complete = This run is complete. Choose a value on the sheet to change it.
pad-took-back = Taken back: { $value }, { $what }. It stays visible, struck through.
pad-kept-next = Kept: { $value }, { $what }. Next: { $next }.
pad-kept-next-target = Kept: { $value }, { $what }. Next: { $next }, target { $target }.
pad-kept-last = Kept: { $value }, { $what }. Run { $run } is complete.
pad-enter-goes-on = Enter goes to run { $run }.
pad-kept = Kept: { $value }.
pad-counts-now = { $value } counts; the other stays visible, struck through.
pad-reason-chosen = of two readings { $value } counts
pad-not-kept = { $device ->
    [phone] This was not kept: the phone could not write it ({ $why }). Press Keep again, and note it on paper.
    [tablet] This was not kept: the tablet could not write it ({ $why }). Press Keep again, and note it on paper.
   *[computer] This was not kept: the computer could not write it ({ $why }). Press Keep again, and note it on paper.
    }

# The sheet of a run.
pad-if-you-can = if you can
pad-record-now = { $what }: record it now
pad-value-of = { $what }:
pad-not-sent-yet = not sent yet
pad-change-it = – change it
pad-no-longer-counts = No longer counts:
pad-replaced = replaced
pad-taken-back = taken back
pad-reason-read-again = read again
pad-reason-typed-wrongly = typed wrongly
pad-reason-other-cup = belongs to another cup
pad-question-about = A question about { $what }
pad-keep-value = Keep { $value }
pad-read-again = Read again
pad-recorded-often = { $n ->
    [2] { $what } was recorded twice, by devices that did not know of each other.
   *[other] { $what } was recorded { $n } times, by devices that did not know of each other.
    }
pad-all-count = Until somebody chooses, all of them count.
pad-choose-which = Choose on the sheet which one counts.
pad-keep-or-again = Keep it or read again.
pad-readings-of = { $n ->
    [one] { $n } reading of { $what }
   *[other] { $n } readings of { $what }
    }
pad-this-counts = { $value } counts
pad-this-device = { $device ->
    [phone] this phone
    [tablet] this tablet
   *[computer] this computer
    }
pad-check-follows = The full check follows when the server has everything.
pad-unexpected = { $value } is outside what was expected: { $range }.
pad-look-again = Look again while it stands there.
pad-look-again-waits = Look again while it stands there. The full check follows when the server answers.

# Numbers as they are typed.
pad-filling-sign = A filling is a volume of its own: it has no sign.
pad-not-a-number = “{ $typed }” is not a number. Use digits and one decimal point or comma.
pad-other-unit = This is read in { $unit }; “{ $typed }” is something else.
pad-other-than-pieces = This is a number of pieces; “{ $typed }” is something else.
pad-too-large = No balance or vessel shows “{ $typed }”. Look at the digits again.

# Results, projector, plan.
pad-no-answer = The app does not answer; trying again.
pad-no-answer-now = The app does not answer.
pad-working = Working it out …
pad-updated = Updated as readings arrive.
pad-group = group { $group }
pad-expected-band = expected by the model, with its 95 % band
pad-mass-lost = mass lost / g
pad-mass-lost-expected = mass lost, expected / g
pad-class-picture = { $grows ->
    [sample] Mass lost against the sample: { $n } points of { $groups } groups.
   *[reagent] Mass lost against reagent poured: { $n } points of { $groups } groups.
    }
pad-points-appear = Points appear as cups are weighed.
pad-point-at = { $whose } at { $along }, { $lost }
pad-axis = { $grows ->
    [sample] sample / g
   *[reagent] reagent poured / mL
    }
pad-equivalence-at = equivalence point { $at }
pad-limits = { $what ->
    [sample] sample limits
    [acid] acid limits
   *[reagent] reagent limits
    }
pad-plan-about = { $n ->
    [one] { $n } cup; the equivalence point is expected at { $at } ({ $low } to { $high }).
   *[other] { $n } cups; the equivalence point is expected at { $at } ({ $low } to { $high }).
    }
pad-plan-about-none = { $n ->
    [one] { $n } cup; the sample’s own acid may be enough for all of it.
   *[other] { $n } cups; the sample’s own acid may be enough for all of it.
    }
pad-plan-key = { $acid ->
    [acid] The band holds 95 of 100 such cups, with everything that is uncertain beforehand. Circle: the acid limits; square: the sample; diamond: not sure.
   *[reagent] The band holds 95 of 100 such cups, with everything that is uncertain beforehand. Circle: the reagent limits; square: the sample; diamond: not sure.
    }
pad-plan-picture = { $grows ->
    [sample] Expected mass lost against the sample.
   *[reagent] Expected mass lost against reagent poured.
    }
pad-plan-failed = The plan could not be worked out now. Press “Work it out” to try again.
