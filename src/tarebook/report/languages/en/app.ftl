# What the pages of the app say (web/templates and web/*.py), and the steps of a run at the bench.

# Every page.
app-to-content = To the content
app-events-missing = { $n ->
    [one] { $n } event is missing from the record: it once was longer. Tell the person in charge before you go on; was a backup put in its place?
   *[other] { $n } events are missing from the record: it once was longer. Tell the person in charge before you go on; was a backup put in its place?
    }
app-other-record = This is not the record that was here before, or it differs from what was recorded here. Tell the person in charge before you go on; was another file put in its place?
app-pages = Pages
app-plan = Plan
app-prepare = Prepare
app-groups = Groups
app-bench = Bench
app-results = Results
app-projector = Projector
app-start = Start
app-join = Join
app-group = Group { $group }
app-instructor = Instructor
app-leave = Leave on this device
app-language = Language of this device

# The first page.
app-brought-in = { $n ->
    [one] { $n } entry of readings.csv was brought into the record, as group 1.
   *[other] { $n } entries of readings.csv were brought into the record, as group 1.
    }
app-way-plan = { $n ->
    [one] Does the row work? { $n } run with { $total }.
   *[other] Does the row work? { $n } runs with { $total } in each.
    }
app-way-prepare = Supplies, labels, bench sheets, hazards, key: to print.
app-way-groups = { $n ->
    [one] { $n } group.
   *[other] { $n } groups.
    }
app-way-groups-shared = { $n ->
    [one] { $n } group, with a code.
   *[other] { $n } groups, each with a code.
    }
app-way-bench = Record run by run.
app-cups-done = { $done } of { $of } cups are done.
app-way-projector = The class’s points, as they arrive.

# The way in.
app-join-title = Join your group
app-join-then = Then the page that you asked for opens.
app-join-code = Code of your group
app-join-hint = The code is on your group’s card, and the instructor has it. Small or capital letters, with or without the dash.
app-join-instructor = I am the instructor
app-join-secret = Secret from the terminal
app-join-enter = Go in
app-wrong-code = There is no such code. Look again.
app-wrong-secret = That is not the secret. It was printed when the app was first shared.
app-many-come-in = Many people are coming in.
    .do = Wait 5 seconds, then try again.
app-too-many-tries = Too many wrong codes came from here.
    .do = { $seconds ->
    [one] Wait { $seconds } second, then try again.
   *[other] Wait { $seconds } seconds, then try again.
    }

# The bench.
app-bench-of = Bench:
app-read-by = Read by
app-initials = initials
app-looking = Looking for the server …
app-join-again = Join again
app-no-script-bench = The bench keeps readings by a script, also without a network; this browser runs none.
app-runs = Runs
app-run-before = The run before
app-run-after = The run after
app-run = Run
app-reading = Reading
app-number-pad = Number pad
app-key-back = Delete the last character
app-key-clear = clear
app-key-clear-all = Delete all
app-key-keep = Keep
app-key-point = decimal point
app-key-letters = keyboard
app-another-filling = + another filling
app-leave-out = Leave it out
app-second-reading = Second reading
app-take-back = Take it back
app-back = Back
app-why = Why
app-why-again = I read it again
app-why-typed = I typed it wrongly
app-why-other-cup = It is from another cup
app-why-else = Another reason
app-next-run = Next run

# The steps of a run: what is read …
app-label-tare_g = empty { $vessel }
app-label-reagent_mL = { $reagent }
app-label-reagent_start_mL = { $reagent }: start
app-label-reagent_end_mL = { $reagent }: end
app-label-diluent_mL = { $diluent }
app-label-diluent_start_mL = { $diluent }: start
app-label-diluent_end_mL = { $diluent }: end
app-label-temperature_C = temperature
app-label-vessel_liquid_g = { $vessel } with liquid
app-label-pieces = pieces of { $sample }
app-label-holder_before_g = { $sample } in its holder
app-label-holder_after_g = holder, emptied
app-label-sample_g = { $sample }
app-label-final_g = { $vessel } at the end
app-label-minutes = waiting time

# … and what to do.
app-hint-zero = First put the empty { $vessel } on the balance and set it to zero; weigh this { $vessel } with that zero to the end.
app-hint-goggles = Goggles on.
app-hint-tare = Weigh the { $vessel } empty and dry, with the number of this run on it.
app-hint-pour = Pour close to the target, read the scale, pour it into the cup. What you read counts.
app-hint-fillings = In several fillings? Write them with + between them, as in 20 + 15.
app-hint-burette-start = Fill the burette if there is too little in it, wait a moment, and read it.
app-hint-burette-end = Let it run close to the target, wait a moment, and read the burette again.
app-hint-temperature = If you can: the temperature of the liquid. Let the thermometer drip off into the cup.
app-hint-liquid = Weigh the cup with what is in it, before anything else goes in.
app-hint-pieces = Take as many pieces of { $sample } as asked for and write how many: { $half } for a half.
app-hint-holder-before = Put a portion of { $sample } close to the target into the holder and weigh both together.
app-hint-holder-after = Tip the { $sample } into the open cup, a little at a time where it foams, and weigh the holder with what stayed in it.
app-hint-weigh-pieces = Weigh the pieces together: their mass counts. Do not add them yet.
app-hint-sample = Weigh a portion of { $sample } close to the target. Do not add it yet.
app-hint-add = Add the { $sample } to the open cup, a little at a time where it foams.
app-hint-wait = Wait until the fizzing is over and { $minutes } minutes more, swirl, then weigh the cup.
app-hint-minutes = If you can: minutes from the end of the fizzing to the last weighing.
app-hint-blank = No sample goes into this cup: it shows what evaporates. Let it stand as long as the others, then weigh it.
app-hint-sealed-tare = Weigh it empty and dry, with its closure and a small tube for the sample, and the number of this run on it.
app-hint-sealed-liquid = Weigh it with the liquid, its closure and the small tube, before anything else goes in.
app-hint-sealed-final = Goggles on. Put the { $sample } into the tube and the tube upright into the vessel, so that it stays dry; close it, and only then, behind a shield, tip it. Let it stand until the fizzing is over and weigh it closed. Only then let the gas off, slowly, away from faces.

# Groups.
app-groups-address = At the bench: open this address and type the code, or scan it.
app-groups-alone = Only this computer can reach the app now.
app-groups-share-how = To let groups record on their own devices, start it with:
app-groups-see = What groups may see
app-groups-see-all = Every group sees the results of the class and the projector page.
app-groups-see-own = Every group sees only its own readings and results.
app-groups-unshare = Show each group its own again
app-groups-share = Share the results of the class
app-groups-more = More groups
app-groups-how-many = How many groups are there?
app-groups-make = Make the codes
app-groups-numbered = They are numbered; a group that is already there stays, with what it recorded.
app-groups-codes = Codes
app-groups-square = QR code with which group { $group } joins
app-groups-done = { $done } of { $of } cups done
app-groups-of-group = of group { $group }
app-groups-new-code = New code
app-groups-for-group = for group { $group }
app-groups-new-code-note = A new code sends the devices that joined with the old one back to the first page; what they have not sent yet stays on them.
app-groups-sheet = Bring in a sheet
app-groups-sheet-note = A readings.csv of a group that wrote on paper. What is new becomes a reading, what differs a correction; nothing is overwritten.
app-groups-group = Group
app-groups-file = Sheet
app-groups-bring = Bring it in
app-groups-count = How many groups there are is a whole number from 1 to { $most }.

# Plan.
app-plan-intro = Move a wish and the curve follows; what you leave alone comes from the definition. Nothing is written to it.
app-plan-slider = { $label }, slider
app-plan-total_mL = Liquid in each cup
app-plan-runs = Cups in the row
app-plan-sample_g = Sample in each cup
app-plan-stock_mol_per_L = Strength of the { $reagent }
app-plan-best = Wanted most
app-plan-content = the content of the sample
app-plan-equivalence = the equivalence point
app-plan-work-out = Work it out
app-plan-as-defined = As the definition has it
app-plan-picture = Expected mass lost against reagent poured.
app-plan-refused = This is not possible.
app-being-worked-out = Being worked out …
app-answer = The answer
app-noticed = What was noticed
app-plan-row = The row
app-plan-row-table = The row, run by run
app-plan-rows = Better rows
app-plan-rows-table = Rows compared
app-plan-care = How exact each reading must be
app-plan-what-if = What if

# Prepare.
app-prepare-intro = Everything that is printed before the lesson, made from the definition.
app-prepare-setting = Setting the sheets …
app-prepare-groups = Groups that work at once
app-prepare-balances = Balances in the room
app-prepare-date = Day of the lesson
app-prepare-time = Begins at
app-prepare-language = Language of the sheets
app-prepare-blank = (may be left blank)
app-prepare-paper = Paper
app-prepare-as-defined = as the definition says
app-prepare-make = Make the sheets
app-prepare-print = To print
app-prepare-made = { $what }; made { $day }, { $time }
app-prepare-nothing = Nothing has been made yet.
app-prepare-whole = Groups and balances are whole numbers.
app-sheet-prep-room_pdf = supplies, the stock and its check, time, waste, trays
app-sheet-hazards_pdf = hazards, the gas against the room, first aid
app-sheet-bench-sheets_pdf = one page for each run of each group
app-sheet-labels_pdf = for vessels, bottles and jars
app-sheet-handout_pdf = for students before the lesson
app-sheet-key_pdf = the answers and what each run will give: not for students

# Results, before and after the row is finished.
app-results-of-group = Results: group { $group }
app-updated = Updated as readings arrive.
app-no-result = There is no result yet.
app-look-again = Look again
app-interval = 95 % interval: { $interval }
app-interval-short = 95 %: { $interval }
app-weighed-so-far = So far { $done } of { $of } cups have been weighed to the end.
app-cups-open = Cups that are not finished
app-next-steps = What to do next
app-record-at-bench = Record at the bench
app-nothing-odd = Nothing odd was noticed in the readings.
app-run-by-run = Run by run
app-readings = The readings
app-instruments = Instruments
app-to-keep = To keep
app-how-far = How far the row has come
app-next = Next:
app-planned = What is planned
app-in-each-cup = What is in each cup
app-beside-plan = Beside the plan
app-weighed-and-read = Liquid weighed and liquid read
app-table = { $name }, table
app-severity-stop = stop
app-severity-look = look
app-severity-note = note
app-file-report_pdf = to print or to hand in
app-file-report_html = to read in a browser, also offline
app-file-workbook_xlsx = every step of the textbook calculation as a live formula
app-file-results_csv = results run by run
app-file-readings_csv = the readings that count, one row a run
app-handed-report_pdf = to hand on with the cups
app-handed-cup-labels_pdf = for the cups, with what was found to be in them
app-handed-report_html = to read in a browser, also offline
app-handed-results_csv = what is known cup by cup
app-handed-readings_csv = the readings that count, one row a run

# Projector.
app-projector-title = The class’s points
app-projector-empty = Mass lost against reagent poured; no cup is done yet.
app-projector-of = of
app-projector-cups = cups
app-projector-cups-head = cups
app-projector-waiting = Waiting for the first cup.
app-projector-found = What the groups found
app-projector-results = Results of the groups
app-projector-group = group
app-projector-content = content
app-projector-by-model = %, model of the cup
app-projector-by-textbook = %, textbook
app-projector-note = Content of the sample by mass, ± one standard uncertainty. Model of the cup: what stays dissolved and what leaves with the gas is counted; textbook: the mass lost is taken for the gas made. Bars at a point are 95 %; where there is none, it is within the point. A triangle at the edge: a cup beyond the picture, with its values.
app-projector-expected = show what the model expects
app-projector-no-script = This page draws the points by a script. Without one, see:

# What is refused, and what to do then.
app-title-400 = That was not understood
app-title-401 = Join first
app-title-403 = Not open to you
app-title-404 = There is nothing here
app-title-405 = That cannot be done here
app-title-413 = Too large
app-title-429 = Wait a moment
app-title-500 = Something is wrong with the app itself
app-title-503 = The record cannot be used now
app-title-old-page = This page is too old
app-to-bench = To your bench
app-to-join = Join your group
app-to-start = To the first page
app-load-again = Load the page again, then repeat it.
app-not-joined = This device has not joined, or its session has ended.
    .do = Join with the code of your group. What is not sent yet is kept on this device.
app-for-instructor = This page is for the instructor.
app-of-other-group = These are the readings of another group.
    .do = Open the page of your own group; join again if the group of this device has changed.
app-no-such-group = There is no such group.
app-no-such-file = There is no such file.
app-no-square = There is no code to scan, because the app is not shared.
app-no-file = No file was chosen.
    .do = { app-load-again }
app-group-no-text = The group must be a text.
    .do = { app-load-again }
app-no-json = This is not JSON in UTF-8.
    .do = { app-load-again }
app-no-json-object = This is not a JSON object.
    .do = { app-load-again }
app-balance-elsewhere = The balance stands somewhere else.
app-class-not-shared = The results of the class are not shared.
    .do = Go to your own results.
app-old-page = This page is too old, or the request does not come from a page of this app.
    .do = { app-load-again }
app-other-host = This app is not reached under this name.
    .do = Open the address that the terminal shows. Where the room has another name for this computer, start the app with --name NAME.
app-too-large = That is more than can be taken at once.
    .do = Send it in parts.
app-too-many-requests = Too many requests came at once.
    .do = Wait 2 seconds, then try again.
app-nowhere = This address leads nowhere.
app-wrong-method = This address does not take that.
app-not-understood = That was not understood.
app-found-allowed = { $where }: found { $found }; allowed: { $allowed }.
app-record-at = The record { $record }: { $reason }.
    .do = Send it again.
app-cannot-write-at = { $path } cannot be written: { $reason }.
    .do = Send it again.
app-record-down = The record can neither take nor show readings now.
    .do = Tell the person in charge. Go on recording at the bench: readings wait on this device.
app-cannot-write = This cannot be written now.
    .do = Tell the person in charge. Go on recording at the bench: readings wait on this device.
app-fault = The app made a mistake (code { $code }). What was acknowledged is safe.
    .do = Try again. If it happens again, restart the app, and tell whoever looks after it the code: a report lies beside the experiment.
