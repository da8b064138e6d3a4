handover-stage = Stand: { $stage }
handover-stage_planned = geplant
handover-stage_poured = gefüllt
handover-stage_sample_weighed = Probe gewogen
handover-stage_reacted = reagiert
handover-stage_finished = fertig
handover-stages = { $first } bis { $last }
handover-verdict_fit = Bereit für den nächsten Schritt
handover-verdict_fit_with_remarks = Bereit für den nächsten Schritt, mit Anmerkungen
handover-verdict_not_fit = Noch nicht bereit: zuerst klären, was unten steht
handover-answer_planned = Noch ist nichts eingegossen. Geplante Gefäße: { $n }.
handover-answer_tares = Einige Gefäße sind leer gewogen; noch ist nichts eingegossen. Geplante Gefäße: { $n }.
handover-answer_poured = Alle { $n } Gefäße enthalten ihre Flüssigkeit und warten auf die Probe.
handover-answer_sample_weighed = Alle { $n } Gefäße enthalten ihre Flüssigkeit, und ihre Proben sind gewogen.
handover-answer_reacted = In allen { $n } Gefäßen ist die Probe; sie warten auf die letzte Wägung.
handover-answer_mixed = Gefäße: { $parts }.
handover-count_planned = { $n } noch leer
handover-count_poured = { $n } gefüllt, ohne Probe
handover-count_sample_weighed = { $n } mit gewogener Probe
handover-count_reacted = { $n } vor der letzten Wägung
handover-count_finished = { $n } fertig
handover-and = und
handover-more = Und { $n } weitere, siehe unten.
handover-planned = Was geplant ist
handover-planned_note_alone = Aufschreiben, was abgelesen wurde, nicht was verlangt war.
handover-planned_note = Zuerst { $diluent } eingießen, dann { $reagent }. Aufschreiben, was abgelesen wurde, nicht was verlangt war.
handover-cups = Was in jedem Gefäß ist
handover-to_come = Was jedes Gefäß verlieren und am Ende wiegen soll
handover-to_lose = Was jedes Gefäß verlieren soll
handover-table = Tabelle
handover-next = Was als Nächstes zu tun ist
handover-handed_on = Übergabe
handover-what = was
handover-who = wer
handover-when = wann
handover-noticed = Was aufgefallen ist
handover-nothing_odd = Es ist nichts aufgefallen.
handover-beside_plan = Neben dem Plan
handover-invented = Erfundene Daten.
handover-do_pour = Jedes leere Gefäß ({ $vessel }) wägen. Zuerst { $diluent } eingießen, dann { $reagent }; beide Volumina aufschreiben, wie sie abgelesen wurden. Mit der Flüssigkeit wägen.
handover-do_pour_alone = Jedes leere Gefäß ({ $vessel }) wägen. { $reagent } eingießen; das Volumen aufschreiben, wie es abgelesen wurde. Mit der Flüssigkeit wägen.
handover-do_weigh_own_sample = Für jedes Gefäß eine Portion { $sample } wägen, so viel, wie in seiner Zeile steht, und aufschreiben.
handover-do_weigh_sample = Für jedes Gefäß eine Portion { $sample } wägen ({ $mass }, wenn in seiner Zeile nichts anderes steht) und aufschreiben.
handover-do_weigh_again = Hat ein Gefäß seit der Wägung mit Flüssigkeit länger als ein paar Minuten gestanden, es unmittelbar vor der Probe noch einmal wägen: In einer Stunde verdunsten etwa { $evaporation } Wasser und würden als Gas zählen. Die Ablesung berichtigen; was vorher dort stand, bleibt im Protokoll.
handover-do_settle = Zuerst klären, was unter „{ $noticed }“ steht: nachsehen, neu ablesen oder das Gefäß neu füllen. Erst dann weiter.
handover-do_add = Die Probe zugeben, in kleinen Mengen, wenn es schäumt, und schwenken, bis das Sprudeln aufhört.
handover-do_finish = Vom Ende des Sprudelns an { $minutes } warten, die Wartezeit aufschreiben und das Gefäß zum letzten Mal wägen.
handover-not_read = Noch nicht abgelesen, nach Zahl der Gefäße: { $readings }.
handover-not_read_one = { $reading } ({ $left } von { $n })
handover-read_tare_g = das leere Gefäß
handover-read_reagent_mL = das Reagenz
handover-read_diluent_mL = das Verdünnungsmittel
handover-read_vessel_liquid_g = das Gefäß mit Flüssigkeit
handover-read_sample_g = die Probe
handover-read_final_g = die letzte Masse
handover-done_stock = Stammlösung geprüft
handover-done_poured = Gefäße gefüllt und gewogen
handover-done_samples = Proben gewogen
handover-done_handed = Übergeben
handover-done_taken = Übernommen
handover-from_to = { $first } bis { $last }
handover-column_run = Ansatz
handover-column_solution =
    { $formula }-Lösung
    mL
handover-column_in_cup =
    { $formula } im Gefäß
    mol/L
handover-column_lose =
    wird verlieren
    g
handover-column_between =
    zwischen
    g
handover-column_final =
    wird am Ende wiegen
    g
handover-to = bis
handover-cups_note = Was abgelesen wurde, weniger was zurückblieb. Jedes ± ist ein u.
handover-note_from_mass = {"*"} Ein Volumen wurde nicht abgelesen und folgt aus der Masse.
handover-note_from_plan = {"*"} Ein Volumen wurde nicht abgelesen; der Plan steht dafür.
handover-note_doubtful = † Masse und Volumina widersprechen sich: Die Volumina gelten wie abgelesen.
handover-for_content = Für einen Gehalt von { $low } bis { $high } % ({ $basis }).
handover-basis_claimed = etwa was angegeben ist
handover-basis_open = da nichts angegeben ist
handover-portion_note = Wiegt eine Portion mehr oder weniger als dies, wiegt das Gefäß am Ende um ebenso viel mehr oder weniger.
handover-ranges_note = Bereiche gelten zu 95 %.
handover-liquid = Flüssigkeit gewogen und abgelesen
handover-liquid_note = Masse der Flüssigkeit weniger die Masse, die ihre zwei Volumina angeben. Unter null: In den Messgefäßen blieb Flüssigkeit zurück. Die gestrichelte Linie ist die Mitte der Reihe; ein Gefäß weit davon wurde falsch abgelesen, verschüttet oder zweimal gefüllt. Balken: 95 %.
handover-column_by_volume =
    Flüssigkeit nach Volumen
    g
handover-column_by_mass =
    Flüssigkeit gewogen
    g
handover-column_left =
    zurückgeblieben
    g
handover-left_note = Zurückgeblieben: Flüssigkeit nach ihren zwei Volumina, wie abgelesen, weniger Flüssigkeit gewogen. Ihr ± enthält die Fehler der Ablesungen dieses Gefäßes.
handover-column_asked =
    { $name }
    mL verlangt
handover-column_gap =
    abgelesen − verlangt
    mL
handover-column_as_planned = wie geplant?
handover-as_planned = wie geplant
handover-other_limits = anderer Stoff begrenzt
handover-differs = anders; ohne Folgen
handover-plan_note = Mehr als verlangt ist positiv. Folgen hat es, wenn ein anderer Stoff begrenzen würde als geplant.
handover-note_gap_from_mass = {"*"} Nicht abgelesen: was die Skala gezeigt hätte, aus der Masse der Flüssigkeit berechnet, abzüglich des Verlangten.
handover-fact_left = Beim zweimaligen Eingießen zurückgeblieben
handover-fact_left_note = nach den Massen aller Gefäße: Reagenz { $reagent }, Verdünnungsmittel { $diluent }; die Summe ist besser bekannt als jedes von beiden
handover-fact_sides = Seiten des Äquivalenzpunkts
handover-fact_sides_value = { $before } davor, { $after } danach
handover-fact_sides_note = Gefäße, die bei jedem betrachteten Gehalt dort liegen; auf jeder Seite braucht es zwei
handover-fact_known = Der Gehalt wird bekannt sein auf
handover-fact_known_note = ein u, in Massenprozent, wenn alle Gefäße fertig werden; geplant war { $planned }
handover-readings = Ablesungen
handover-instruments = Geräte
handover-about_u = Die Zahl nach ± ist u, die Standardunsicherheit: um so viel kann der Wert durchaus daneben liegen. Im 95-%-Bereich liegt der wahre Wert bei etwa 19 von 20 solchen Versuchen.
handover-rests_on = Ablesungen der Gruppe { $group } aus dem Protokoll: { $count } Einträge, der letzte mit dem Hash { $hash }.
handover-taken_by = Abgelesen nach der Definition in Eintrag { $event }, SHA-256 { $digest }.
handover-definition_changed = Ausgewertet wurde mit einer Definition, die seither geändert wurde.
