# Was die Seiten der App sagen (web/templates und web/*.py), und die Schritte eines Ansatzes.

# Jede Seite.
app-to-content = Zum Inhalt
app-events-missing = { $n ->
    [one] In der Aufzeichnung fehlt { $n } Eintrag: sie war schon länger. Vor dem Weitermachen der verantwortlichen Person sagen; liegt dort jetzt eine Sicherung?
   *[other] In der Aufzeichnung fehlen { $n } Einträge: sie war schon länger. Vor dem Weitermachen der verantwortlichen Person sagen; liegt dort jetzt eine Sicherung?
    }
app-other-record = Das ist nicht die Aufzeichnung, die vorher hier war, oder sie weicht von dem ab, was hier aufgezeichnet wurde. Vor dem Weitermachen der verantwortlichen Person sagen; liegt dort jetzt eine andere Datei?
app-pages = Seiten
app-plan = Planen
app-prepare = Vorbereiten
app-groups = Gruppen
app-bench = Arbeitsplatz
app-results = Ergebnisse
app-projector = Beamer
app-start = Startseite
app-join = Beitreten
app-group = Gruppe { $group }
app-instructor = Lehrkraft
app-leave = Auf diesem Gerät abmelden
app-language = Sprache dieses Geräts

# Die erste Seite.
app-brought-in = { $n ->
    [one] { $n } Eintrag aus readings.csv wurde in die Aufzeichnung übernommen, als Gruppe 1.
   *[other] { $n } Einträge aus readings.csv wurden in die Aufzeichnung übernommen, als Gruppe 1.
    }
app-way-plan = { $n ->
    [one] Geht die Reihe auf? { $n } Ansatz mit { $total }.
   *[other] Geht die Reihe auf? { $n } Ansätze mit je { $total }.
    }
app-way-prepare = Material, Etiketten, Arbeitsblätter, Gefahren, Lösungen: zum Drucken.
app-way-groups = { $n ->
    [one] { $n } Gruppe.
   *[other] { $n } Gruppen.
    }
app-way-groups-shared = { $n ->
    [one] { $n } Gruppe, mit einem Code.
   *[other] { $n } Gruppen, jede mit einem Code.
    }
app-way-bench = Ansatz für Ansatz aufzeichnen.
app-cups-done = { $done } von { $of } Gefäßen sind fertig.
app-way-projector = Die Punkte aller Gruppen, sobald sie eintreffen.

# Der Eingang.
app-join-title = Der eigenen Gruppe beitreten
app-join-then = Danach öffnet sich die gewünschte Seite.
app-join-code = Code der Gruppe
app-join-hint = Der Code steht auf der Karte der Gruppe, und die Lehrkraft hat ihn. Groß oder klein, mit oder ohne Strich.
app-join-instructor = Ich bin die Lehrkraft
app-join-secret = Geheimwort aus dem Terminal
app-join-enter = Anmelden
app-wrong-code = Diesen Code gibt es nicht. Bitte noch einmal nachsehen.
app-wrong-secret = Das ist nicht das Geheimwort. Es wurde angezeigt, als die App zum ersten Mal freigegeben wurde.
app-many-come-in = Gerade melden sich viele an.
    .do = 5 Sekunden warten und es dann noch einmal versuchen.
app-too-many-tries = Von hier kamen zu viele falsche Codes.
    .do = { $seconds ->
    [one] { $seconds } Sekunde warten und es dann noch einmal versuchen.
   *[other] { $seconds } Sekunden warten und es dann noch einmal versuchen.
    }

# Der Arbeitsplatz.
app-bench-of = Arbeitsplatz:
app-read-by = Abgelesen von
app-initials = Kürzel
app-looking = Der Server wird gesucht …
app-join-again = Neu beitreten
app-no-script-bench = Der Arbeitsplatz speichert Messwerte mit einem Skript, auch ohne Netz; dieser Browser führt keines aus.
app-runs = Ansätze
app-run-before = Vorheriger Ansatz
app-run-after = Nächster Ansatz
app-run = Ansatz
app-reading = Messwert
app-number-pad = Ziffernblock
app-key-back = Letztes Zeichen löschen
app-key-clear = leeren
app-key-clear-all = Alles löschen
app-key-keep = Notieren
app-key-point = Komma
app-key-letters = Tastatur
app-another-filling = + weitere Füllung
app-leave-out = Auslassen
app-second-reading = Zweite Ablesung
app-take-back = Zurücknehmen
app-back = Zurück
app-why = Warum
app-why-again = Ich habe noch einmal abgelesen
app-why-typed = Ich habe mich vertippt
app-why-other-cup = Er gehört zu einem anderen Gefäß
app-why-else = Ein anderer Grund
app-next-run = Nächster Ansatz

# Die Schritte eines Ansatzes: was abgelesen wird …
app-label-tare_g = { $vessel }, leer
app-label-reagent_mL = { $reagent }
app-label-reagent_start_mL = { $reagent }: Anfang
app-label-reagent_end_mL = { $reagent }: Ende
app-label-diluent_mL = { $diluent }
app-label-diluent_start_mL = { $diluent }: Anfang
app-label-diluent_end_mL = { $diluent }: Ende
app-label-temperature_C = Temperatur
app-label-vessel_liquid_g = { $vessel } mit Flüssigkeit
app-label-pieces = Stücke ({ $sample })
app-label-holder_before_g = { $sample } im Schiffchen
app-label-holder_after_g = Schiffchen, entleert
app-label-sample_g = { $sample }
app-label-final_g = { $vessel } am Ende
app-label-minutes = Wartezeit

# … und was zu tun ist.
app-hint-zero = Zuerst das leere Gefäß ({ $vessel }) auf die Waage stellen und auf null stellen; für dieses Gefäß ({ $vessel }) bis zum Ende dabei bleiben.
app-hint-goggles = Schutzbrille auf.
app-hint-tare = Das Gefäß ({ $vessel }) leer und trocken wägen, mit der Nummer dieses Ansatzes darauf.
app-hint-pour = Nahe am Sollwert abmessen, die Skala ablesen, in das Gefäß gießen. Es zählt, was abgelesen wird.
app-hint-fillings = In mehreren Füllungen? Mit + dazwischen schreiben, wie in 20 + 15.
app-hint-burette-start = Die Bürette auffüllen, falls zu wenig darin ist, kurz warten und ablesen.
app-hint-burette-end = Bis nahe an den Sollwert auslaufen lassen, kurz warten und die Bürette wieder ablesen.
app-hint-temperature = Wenn möglich: die Temperatur der Flüssigkeit. Das Thermometer in das Gefäß abtropfen lassen.
app-hint-liquid = Das Gefäß mit dem, was darin ist, wägen, bevor noch etwas dazukommt.
app-hint-pieces = So viele Stücke ({ $sample }) nehmen wie verlangt und aufschreiben, wie viele: { $half } für ein halbes.
app-hint-holder-before = Eine Portion ({ $sample }) nahe am Sollwert in das Schiffchen geben und beides zusammen wägen.
app-hint-holder-after = Die Probe ({ $sample }) in das offene Gefäß schütten, in kleinen Mengen, falls es schäumt, und das Schiffchen mit dem wägen, was darin blieb.
app-hint-weigh-pieces = Die Stücke zusammen wägen: ihre Masse zählt. Noch nicht zugeben.
app-hint-sample = Eine Portion ({ $sample }) nahe am Sollwert einwägen. Noch nicht zugeben.
app-hint-add = Die Probe ({ $sample }) in das offene Gefäß geben, in kleinen Mengen, falls es schäumt.
app-hint-wait = Warten, bis es nicht mehr sprudelt, und noch { $minutes } min; schwenken, dann das Gefäß wägen.
app-hint-minutes = Wenn möglich: Minuten vom Ende des Sprudelns bis zur letzten Wägung.
app-hint-blank = In dieses Gefäß kommt keine Probe: es zeigt, was verdunstet. So lange stehen lassen wie die anderen, dann wägen.
app-hint-sealed-tare = Leer und trocken wägen, mit dem Verschluss, einem kleinen Röhrchen für die Probe und der Nummer dieses Ansatzes darauf.
app-hint-sealed-liquid = Mit der Flüssigkeit, dem Verschluss und dem Röhrchen wägen, bevor noch etwas dazukommt.
app-hint-sealed-final = Schutzbrille auf. Die Probe ({ $sample }) in das Röhrchen geben und das Röhrchen aufrecht in das Gefäß stellen, damit sie trocken bleibt; verschließen und erst dann hinter einer Schutzscheibe kippen. Stehen lassen, bis es nicht mehr sprudelt, und verschlossen wägen. Erst danach das Gas ablassen, langsam und vom Gesicht weg.

# Gruppen.
app-groups-address = Am Arbeitsplatz: diese Adresse öffnen und den Code eingeben, oder ihn scannen.
app-groups-alone = Zurzeit erreicht nur dieser Computer die App.
app-groups-share-how = Damit Gruppen auf eigenen Geräten aufzeichnen können, so starten:
app-groups-see = Was die Gruppen sehen
app-groups-see-all = Jede Gruppe sieht die Ergebnisse der ganzen Klasse und die Beamer-Seite.
app-groups-see-own = Jede Gruppe sieht nur ihre eigenen Messwerte und Ergebnisse.
app-groups-unshare = Jeder Gruppe wieder nur das Eigene zeigen
app-groups-share = Ergebnisse der Klasse freigeben
app-groups-more = Weitere Gruppen
app-groups-how-many = Wie viele Gruppen sind es?
app-groups-make = Codes erzeugen
app-groups-numbered = Sie werden nummeriert; eine Gruppe, die es schon gibt, bleibt mit allem, was sie aufgezeichnet hat.
app-groups-codes = Zugangscodes
app-groups-square = QR-Code, mit dem Gruppe { $group } beitritt
app-groups-done = { $done } von { $of } Gefäßen fertig
app-groups-of-group = von Gruppe { $group }
app-groups-new-code = Neuer Code
app-groups-for-group = für Gruppe { $group }
app-groups-new-code-note = Mit einem neuen Code kommen die Geräte, die mit dem alten beigetreten sind, wieder auf die erste Seite; was sie noch nicht gesendet haben, bleibt auf ihnen.
app-groups-sheet = Ein Blatt übernehmen
app-groups-sheet-note = Eine readings.csv einer Gruppe, die auf Papier geschrieben hat. Neues wird ein Messwert, Abweichendes eine Berichtigung; überschrieben wird nichts.
app-groups-group = Gruppe
app-groups-file = Blatt
app-groups-bring = Übernehmen
app-groups-count = Die Zahl der Gruppen ist eine ganze Zahl von 1 bis { $most }.

# Planen.
app-plan-intro = Einen Wunsch verschieben, und die Kurve folgt; was so bleibt, kommt aus der Definition. An ihr wird nichts geändert.
app-plan-slider = { $label }, Schieber
app-plan-total_mL = Flüssigkeit je Gefäß
app-plan-runs = Gefäße in der Reihe
app-plan-sample_g = Probe je Gefäß
app-plan-stock_mol_per_L = Konzentration ({ $reagent })
app-plan-best = Am wichtigsten
app-plan-content = der Gehalt der Probe
app-plan-equivalence = der Äquivalenzpunkt
app-plan-work-out = Ausrechnen
app-plan-as-defined = Wie in der Definition
app-plan-picture = Erwarteter Massenverlust gegen das eingegossene Reagenz.
app-plan-refused = Das geht nicht.
app-being-worked-out = Wird ausgerechnet …
app-answer = Die Antwort
app-noticed = Was aufgefallen ist
app-plan-row = Die Reihe
app-plan-row-table = Die Reihe, Ansatz für Ansatz
app-plan-rows = Bessere Reihen
app-plan-rows-table = Reihen im Vergleich
app-plan-care = Wie genau jede Ablesung sein muss
app-plan-what-if = Was wäre, wenn

# Vorbereiten.
app-prepare-intro = Alles, was vor der Stunde gedruckt wird, aus der Definition gemacht.
app-prepare-setting = Die Blätter werden gesetzt …
app-prepare-groups = Gruppen, die zugleich arbeiten
app-prepare-balances = Waagen im Raum
app-prepare-date = Tag der Stunde
app-prepare-time = Beginn
app-prepare-language = Sprache der Blätter
app-prepare-blank = (darf leer bleiben)
app-prepare-paper = Papier
app-prepare-as-defined = wie in der Definition
app-prepare-make = Blätter erzeugen
app-prepare-print = Zum Drucken
app-prepare-made = { $what }; erzeugt am { $day }, { $time }
app-prepare-nothing = Noch wurde nichts erzeugt.
app-prepare-whole = Gruppen und Waagen sind ganze Zahlen.
app-sheet-prep-room_pdf = Material, die Vorratslösung und ihre Prüfung, Zeit, Abfall, Tabletts
app-sheet-hazards_pdf = Gefahren, das Gas im Raum, Erste Hilfe
app-sheet-bench-sheets_pdf = eine Seite für jeden Ansatz jeder Gruppe
app-sheet-labels_pdf = für Gefäße, Flaschen und Dosen
app-sheet-handout_pdf = für die Lernenden vor der Stunde
app-sheet-key_pdf = die Antworten und was jeder Ansatz ergeben wird: nicht für Lernende

# Ergebnisse, vor und nach dem Ende der Reihe.
app-results-of-group = Ergebnisse: Gruppe { $group }
app-updated = Wird laufend auf den neuesten Stand gebracht.
app-no-result = Noch gibt es kein Ergebnis.
app-look-again = Noch einmal nachsehen
app-interval = 95-%-Intervall: { $interval }
app-interval-short = 95 %: { $interval }
app-weighed-so-far = Bisher wurden { $done } von { $of } Gefäßen bis zum Ende gewogen.
app-cups-open = Gefäße, die noch nicht fertig sind
app-next-steps = Was als Nächstes zu tun ist
app-record-at-bench = Am Arbeitsplatz aufzeichnen
app-nothing-odd = An den Messwerten ist nichts aufgefallen.
app-run-by-run = Ansatz für Ansatz
app-readings = Die Messwerte
app-instruments = Geräte
app-to-keep = Zum Aufheben
app-how-far = Wie weit die Reihe ist
app-next = Als Nächstes:
app-planned = Was geplant ist
app-in-each-cup = Was in jedem Gefäß ist
app-beside-plan = Im Vergleich zum Plan
app-weighed-and-read = Flüssigkeit, gewogen und abgelesen
app-table = { $name }, Tabelle
app-severity-stop = Halt
app-severity-look = Hinsehen
app-severity-note = Hinweis
app-file-report_pdf = zum Drucken oder Abgeben
app-file-report_html = zum Lesen im Browser, auch ohne Netz
app-file-workbook_xlsx = jeder Schritt der Schulbuchrechnung als Formel
app-file-results_csv = die Ergebnisse Ansatz für Ansatz
app-file-readings_csv = die Messwerte, die zählen, eine Zeile je Ansatz
app-handed-report_pdf = zum Weitergeben mit den Gefäßen
app-handed-cup-labels_pdf = für die Gefäße, mit dem, was darin gefunden wurde
app-handed-report_html = zum Lesen im Browser, auch ohne Netz
app-handed-results_csv = was von jedem Gefäß bekannt ist
app-handed-readings_csv = die Messwerte, die zählen, eine Zeile je Ansatz

# Beamer.
app-projector-title = Die Punkte der Klasse
app-projector-empty = Massenverlust gegen das eingegossene Reagenz; noch ist kein Gefäß fertig.
app-projector-of = von
app-projector-cups = Gefäßen
app-projector-cups-head = Gefäße
app-projector-waiting = Warten auf das erste Gefäß.
app-projector-found = Was die Gruppen gefunden haben
app-projector-results = Ergebnisse der Gruppen
app-projector-group = Gruppe
app-projector-content = Gehalt
app-projector-by-model = %, Modell des Gefäßes
app-projector-by-textbook = %, Schulbuch
app-projector-note = Massenanteil in der Probe, ± eine Standardunsicherheit. Modell des Gefäßes: was gelöst bleibt und was mit dem Gas entweicht, ist eingerechnet; Schulbuch: der Massenverlust gilt als das entstandene Gas. Balken an einem Punkt bedeuten 95 %; ohne Balken liegt alles innerhalb des Punktes. Ein Dreieck am Rand: ein Gefäß außerhalb des Bildes, mit seinen Werten.
app-projector-expected = zeigen, was das Modell erwartet
app-projector-no-script = Diese Seite zeichnet die Punkte mit einem Skript. Ohne Skript:

# Was abgelehnt wird, und was dann zu tun ist.
app-title-400 = Das wurde nicht verstanden
app-title-401 = Zuerst beitreten
app-title-403 = Hier kein Zugang
app-title-404 = Hier ist nichts
app-title-405 = Das geht hier nicht
app-title-413 = Zu groß
app-title-429 = Einen Moment warten
app-title-500 = Mit der App selbst stimmt etwas nicht
app-title-503 = Die Aufzeichnung ist gerade nicht erreichbar
app-title-old-page = Diese Seite ist veraltet
app-to-bench = Zum Arbeitsplatz
app-to-join = Der eigenen Gruppe beitreten
app-to-start = Zur ersten Seite
app-load-again = Die Seite neu laden und es dann wiederholen.
app-not-joined = Dieses Gerät ist nicht beigetreten, oder seine Sitzung ist zu Ende.
    .do = Mit dem Code der Gruppe beitreten. Was noch nicht gesendet ist, bleibt auf diesem Gerät.
app-for-instructor = Diese Seite ist für die Lehrkraft.
app-of-other-group = Das sind die Messwerte einer anderen Gruppe.
    .do = Die Seite der eigenen Gruppe öffnen; neu beitreten, falls die Gruppe dieses Geräts gewechselt hat.
app-no-such-group = Diese Gruppe gibt es nicht.
app-no-such-file = Diese Datei gibt es nicht.
app-no-square = Hier gibt es keinen Code zum Scannen, denn die App ist nicht freigegeben.
app-no-file = Es wurde keine Datei ausgewählt.
    .do = { app-load-again }
app-group-no-text = Die Gruppe muss ein Text sein.
    .do = { app-load-again }
app-no-json = Das ist kein JSON in UTF-8.
    .do = { app-load-again }
app-no-json-object = Das ist kein JSON-Objekt.
    .do = { app-load-again }
app-balance-elsewhere = Die Waage steht woanders.
app-class-not-shared = Die Ergebnisse der Klasse sind nicht freigegeben.
    .do = Zu den eigenen Ergebnissen gehen.
app-old-page = Diese Seite ist veraltet, oder die Anfrage kommt nicht von einer Seite dieser App.
    .do = { app-load-again }
app-other-host = Unter diesem Namen ist die App nicht zu erreichen.
    .do = Die Adresse öffnen, die das Terminal zeigt. Heißt dieser Computer im Raum anders, die App mit --name NAME starten.
app-too-large = Das ist mehr, als auf einmal angenommen wird.
    .do = In Teilen senden.
app-too-many-requests = Es kamen zu viele Anfragen auf einmal.
    .do = 2 Sekunden warten und es dann noch einmal versuchen.
app-nowhere = Diese Adresse führt nirgendwohin.
app-wrong-method = Diese Adresse nimmt das nicht an.
app-not-understood = Das wurde nicht verstanden.
app-found-allowed = { $where }: gefunden { $found }; erlaubt: { $allowed }.
app-record-at = Die Aufzeichnung { $record }: { $reason }.
    .do = Noch einmal senden.
app-cannot-write-at = { $path } lässt sich nicht schreiben: { $reason }.
    .do = Noch einmal senden.
app-record-down = Die Aufzeichnung kann gerade weder Messwerte annehmen noch zeigen.
    .do = Der verantwortlichen Person sagen. Am Arbeitsplatz weiter aufzeichnen: die Messwerte warten auf diesem Gerät.
app-cannot-write = Das lässt sich gerade nicht schreiben.
    .do = Der verantwortlichen Person sagen. Am Arbeitsplatz weiter aufzeichnen: die Messwerte warten auf diesem Gerät.
app-fault = Die App hat einen Fehler gemacht (Code { $code }). Was bestätigt wurde, ist sicher.
    .do = Noch einmal versuchen. Passiert es wieder, die App neu starten und den Code der Person sagen, die sie betreut: neben dem Versuch liegt ein Bericht.
