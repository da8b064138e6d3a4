# Was die Skripte der Seiten sagen. Die Seiten bringen diese Datei mit, damit die Worte auch ohne
# Netz da sind; Fluents eigenes Programm für Browser liest sie (web/static/bench/words.js).

# Wie es mit dem Server steht.
pad-must-join = { $device ->
    [phone] Dieses Telefon muss neu beitreten.
    [tablet] Dieses Tablet muss neu beitreten.
   *[computer] Dieser Computer muss neu beitreten.
    }
pad-joined-elsewhere = { $device ->
    [phone] Dieses Telefon ist einer anderen Gruppe beigetreten.
    [tablet] Dieses Tablet ist einer anderen Gruppe beigetreten.
   *[computer] Dieser Computer ist einer anderen Gruppe beigetreten.
    }
pad-page-old = Diese Seite ist veraltet: bitte neu laden.
pad-record-replaced = Diese Aufzeichnung ist nicht die, in der die Werte standen: der Lehrkraft sagen und weiter aufschreiben.
pad-offline = Keine Verbindung. Einfach weitermachen.
pad-server-busy = Der Server ist beschäftigt und nimmt die Werte gleich an.
pad-looking = Der Server wird gesucht …
pad-sending = Wird gesendet.
pad-all-sent = Alles ist gesendet.
pad-waiting = { $n ->
    [one] { $n } Messwert wartet { $device ->
        [phone] auf diesem Telefon.
        [tablet] auf diesem Tablet.
       *[computer] auf diesem Computer.
        }
   *[other] { $n } Messwerte warten { $device ->
        [phone] auf diesem Telefon.
        [tablet] auf diesem Tablet.
       *[computer] auf diesem Computer.
        }
    }
pad-keeps-nothing = Dieser Browser speichert nichts: die Seite offen lassen.

# Was nicht gesendet werden konnte.
pad-of-other-experiment = { $n ->
    [one] { $n } Messwert eines anderen Versuchs, { $titles }, { $device ->
        [phone] auf diesem Telefon.
        [tablet] auf diesem Tablet.
       *[computer] auf diesem Computer.
        }
   *[other] { $n } Messwerte eines anderen Versuchs, { $titles }, { $device ->
        [phone] auf diesem Telefon.
        [tablet] auf diesem Tablet.
       *[computer] auf diesem Computer.
        }
    }
pad-sent-when-open = Sie werden gesendet, wenn jener Versuch unter dieser Adresse offen ist.
pad-adopt = Sie gehören hierher: senden
pad-of-other-group = { $n ->
    [one] { $n } Messwert von Gruppe { $group } { $device ->
        [phone] auf diesem Telefon.
        [tablet] auf diesem Tablet.
       *[computer] auf diesem Computer.
        }
   *[other] { $n } Messwerte von Gruppe { $group } { $device ->
        [phone] auf diesem Telefon.
        [tablet] auf diesem Tablet.
       *[computer] auf diesem Computer.
        }
    }
pad-sent-when-joined = Sie werden gesendet, sobald es wieder Gruppe { $group } beitritt.
pad-not-recorded-label = Nicht aufgezeichnet
pad-not-recorded = Nicht aufgezeichnet: Ansatz { $run }, { $what }, { $value }.
pad-taking-back = Rücknahme
pad-forget = Verwerfen
pad-forget-sure = Ja, { $value } verwerfen
pad-forget-not = Nein, behalten
pad-type-again = Neu eingeben

# Ansätze.
pad-run = Ansatz { $run }
pad-run-here = Ansatz { $run }.
pad-run-of = Ansatz { $run } von { $n }
pad-run-link = Ansatz { $run }
pad-run-progress = Ansatz { $run }: { $done } von { $of } aufgezeichnet
pad-run-asks = eine Frage ist offen
pad-run-not-sent = noch nicht alles gesendet
pad-questions-in = { $n ->
    [one] Eine Frage ist offen bei
   *[other] Fragen sind offen bei
    }
pad-questions-in-runs = { $n ->
    [one] Eine Frage ist offen bei Ansatz { $runs }.
   *[other] Fragen sind offen bei Ansatz { $runs }.
    }
pad-sheet-of-other-group = Dieses Blatt gehört zu Gruppe { $group }; hier ist Gruppe { $own }.
pad-no-such-run = In dieser Reihe gibt es keinen Ansatz { $run }.
pad-no-such-run-here = In dieser Reihe gibt es keinen Ansatz { $run }: hier ist Ansatz { $here }.
pad-sheet-is-older = Dieses Blatt wurde gedruckt, bevor die Definition geändert wurde: es gelten die Sollwerte hier.

# Das Eingabefeld.
pad-run-complete = Ansatz { $run } ist vollständig
pad-second-of = Zweite Ablesung: { $what }
pad-again-of = Noch einmal ablesen: { $what }
pad-change-of = Ändern: { $what }
pad-scan-sheet = Blatt scannen
pad-code-of-sheet = Code eines Blattes
pad-in-unit = { $what }, in { $unit }
pad-now = jetzt
pad-target = Soll
pad-target-is = Soll { $target }
pad-expected-is = erwartet { $range }
pad-with-instrument = Gerät: { $instrument }
pad-in-it = { $amount } darin
pad-range = { $low } bis { $high }
pad-go-to-run = Zu Ansatz { $run }
pad-see-results = Ergebnisse ansehen
pad-run-recorded = Dieser Ansatz ist vollständig aufgezeichnet.
pad-series-recorded = Die ganze Reihe ist aufgezeichnet.
pad-balance-shows = Die Waage zeigt { $value }.
pad-why = { $change }. Warum?
pad-change = { $before } → { $after }
pad-is-taken-back = { $value } wird zurückgenommen
pad-type-first = Zuerst eingeben, was das Gerät zeigt.
pad-is-complete = Dieser Ansatz ist vollständig. Zum Ändern einen Wert auf dem Blatt wählen.
pad-took-back = Zurückgenommen: { $value }, { $what }. Der Wert bleibt durchgestrichen sichtbar.
pad-kept-next = Notiert: { $value }, { $what }. Als Nächstes: { $next }.
pad-kept-next-target = Notiert: { $value }, { $what }. Als Nächstes: { $next }, Soll { $target }.
pad-kept-last = Notiert: { $value }, { $what }. Ansatz { $run } ist vollständig.
pad-enter-goes-on = Mit der Eingabetaste geht es zu Ansatz { $run }.
pad-kept = Behalten: { $value }.
pad-counts-now = { $value } zählt; der andere Wert bleibt durchgestrichen sichtbar.
pad-reason-chosen = von zwei Ablesungen zählt { $value }
pad-not-kept = { $device ->
    [phone] Das wurde nicht gespeichert: das Telefon konnte es nicht schreiben ({ $why }). Noch einmal auf „Notieren“ drücken und den Wert auf Papier notieren.
    [tablet] Das wurde nicht gespeichert: das Tablet konnte es nicht schreiben ({ $why }). Noch einmal auf „Notieren“ drücken und den Wert auf Papier notieren.
   *[computer] Das wurde nicht gespeichert: der Computer konnte es nicht schreiben ({ $why }). Noch einmal auf „Notieren“ drücken und den Wert auf Papier notieren.
    }

# Das Blatt eines Ansatzes.
pad-if-you-can = wenn möglich
pad-record-now = { $what }: jetzt aufzeichnen
pad-value-of = { $what }:
pad-not-sent-yet = noch nicht gesendet
pad-change-it = – ändern
pad-no-longer-counts = Zählt nicht mehr:
pad-replaced = ersetzt
pad-taken-back = zurückgenommen
pad-reason-read-again = noch einmal abgelesen
pad-reason-typed-wrongly = falsch eingetippt
pad-reason-other-cup = gehört zu einem anderen Gefäß
pad-question-about = Eine Frage zu: { $what }
pad-keep-value = { $value } behalten
pad-read-again = Noch einmal ablesen
pad-recorded-often = { $n ->
    [2] { $what } wurde zweimal aufgezeichnet, auf Geräten, die nichts voneinander wussten.
   *[other] { $what } wurde { $n }-mal aufgezeichnet, auf Geräten, die nichts voneinander wussten.
    }
pad-all-count = Bis jemand auswählt, zählen alle.
pad-choose-which = Auf dem Blatt auswählen, welcher Wert zählt.
pad-keep-or-again = Behalten oder noch einmal ablesen.
pad-readings-of = { $n ->
    [one] { $n } Ablesung: { $what }
   *[other] { $n } Ablesungen: { $what }
    }
pad-this-counts = { $value } zählt
pad-this-device = { $device ->
    [phone] dieses Telefon
    [tablet] dieses Tablet
   *[computer] dieser Computer
    }
pad-check-follows = Ganz geprüft wird, sobald der Server alles hat.
pad-unexpected = { $value } liegt außerhalb des Erwarteten: { $range }.
pad-look-again = Noch einmal hinsehen, solange es dort steht.
pad-look-again-waits = Noch einmal hinsehen, solange es dort steht. Ganz geprüft wird, sobald der Server antwortet.

# Zahlen, wie sie getippt werden.
pad-filling-sign = Eine Füllung ist ein eigenes Volumen: sie hat kein Vorzeichen.
pad-not-a-number = „{ $typed }“ ist keine Zahl. Ziffern und ein Komma oder Punkt.
pad-other-unit = Abgelesen wird in { $unit }; „{ $typed }“ ist etwas anderes.
pad-other-than-pieces = Hier steht eine Stückzahl; „{ $typed }“ ist etwas anderes.
pad-too-large = Keine Waage und kein Gefäß zeigt „{ $typed }“. Die Ziffern noch einmal ansehen.

# Ergebnisse, Beamer, Plan.
pad-no-answer = Der Server antwortet nicht; es wird weiter versucht.
pad-no-answer-now = Der Server antwortet nicht.
pad-working = Wird ausgerechnet …
pad-updated = Wird laufend auf den neuesten Stand gebracht.
pad-group = Gruppe { $group }
pad-expected-band = vom Modell erwartet, mit 95-%-Band
pad-mass-lost = Massenverlust / g
pad-mass-lost-expected = erwarteter Massenverlust / g
pad-class-picture = { $grows ->
    [sample] Massenverlust gegen die Probe: { $n } Punkte von { $groups } Gruppen.
   *[reagent] Massenverlust gegen das eingegossene Reagenz: { $n } Punkte von { $groups } Gruppen.
    }
pad-points-appear = Punkte erscheinen, sobald Gefäße gewogen sind.
pad-point-at = { $whose } bei { $along }, { $lost }
pad-axis = { $grows ->
    [sample] Probe / g
   *[reagent] eingegossenes Reagenz / mL
    }
pad-equivalence-at = Äquivalenzpunkt { $at }
pad-limits = { $what ->
    [sample] die Probe begrenzt
    [acid] die Säure begrenzt
   *[reagent] das Reagenz begrenzt
    }
pad-plan-about = { $n ->
    [one] { $n } Gefäß; der Äquivalenzpunkt wird bei { $at } erwartet ({ $low } bis { $high }).
   *[other] { $n } Gefäße; der Äquivalenzpunkt wird bei { $at } erwartet ({ $low } bis { $high }).
    }
pad-plan-about-none = { $n ->
    [one] { $n } Gefäß; die eigene Säure der Probe reicht vielleicht schon für alles.
   *[other] { $n } Gefäße; die eigene Säure der Probe reicht vielleicht schon für alles.
    }
pad-plan-key = { $acid ->
    [acid] Im Band liegen 95 von 100 solchen Gefäßen, mit allem, was vorher unsicher ist. Kreis: die Säure begrenzt; Quadrat: die Probe; Raute: nicht sicher.
   *[reagent] Im Band liegen 95 von 100 solchen Gefäßen, mit allem, was vorher unsicher ist. Kreis: das Reagenz begrenzt; Quadrat: die Probe; Raute: nicht sicher.
    }
pad-plan-picture = { $grows ->
    [sample] Erwarteter Massenverlust gegen die Probe.
   *[reagent] Erwarteter Massenverlust gegen das eingegossene Reagenz.
    }
pad-plan-failed = Der Plan konnte jetzt nicht berechnet werden. „Ausrechnen“ drücken und es noch einmal versuchen.
