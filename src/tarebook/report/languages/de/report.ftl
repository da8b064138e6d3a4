# Was der Bericht einer fertigen Reihe sagt.

report-content_label = { $analyte } in der Probe
report-answer = Gefunden: { $content } { $analyte } als Massenanteil der Probe ({ $name }).
report-answer_open = Diese Reihe sagt nicht, wie viel { $analyte } die Probe ({ $name }) enthält: { $why }.
report-withheld = Ein Gehalt wird nicht angegeben: { $why }.
report-claim = Das Etikett nennt { $said }. Das Ergebnis stimmt damit { $agrees ->
    [yes] überein
   *[no] nicht überein
    }: Es liegt { $apart } Prozentpunkte { $way ->
    [lower] tiefer
   *[higher] höher
    }, das sind { $times } der Differenz ({ $agrees ->
    [yes] bis { $limit } gilt als Übereinstimmung
   *[no] mehr als { $limit } gilt als Widerspruch
    }).
report-second_way = Ein zweiter Weg, über den Äquivalenzpunkt und die Konzentration des Reagenzes, ergibt { $found }. { $agree ->
    [yes] Beide stimmen überein: Sie liegen { $times } ihrer Differenz auseinander.
   *[no] Beide stimmen nicht überein: Sie liegen { $times } ihrer Differenz auseinander. Die Rechnung lässt etwas weg; das erste Ergebnis daher noch nicht mit dem Etikett vergleichen.
    }
report-caveat = Die Lehrbuchrechnung zählt den Massenverlust als das entstandene { $gas }. { $grows ->
    [sample] Gas, das in allen Gefäßen gleich viel zurückbleibt, verschiebt die steigende Gerade, ändert aber ihre Steigung nicht; was ein Gefäß mehr zurückhält als ein anderes, zählt das ± als Fehler jedes Gefäßes. Gefäße mit mehr Probe sind kälter und halten mehr Gas unter ihrem Rand, sodass der Gehalt meist um 1 bis 3 % zu klein herauskommt.
   *[reagent] Gas, das in der Flüssigkeit oder im Gefäß bleibt, lässt den Gehalt zu klein herauskommen; Wasserdampf, der mit dem Gas entweicht, zu groß. Das ± deckt beides nicht ab.
    }
report-about_budget = Was jede Quelle zur Varianz des Gehalts beiträgt. Am meisten hilft es, das genauer zu kennen, was oben steht: durch ein besseres Gerät oder eine eigene Messung. Unten ändert es nichts.
report-method = Tarebook { $version }{ $date }.
report-method_model = Modell des Gefäßes: gemeinsame Anpassung.
report-method_usual = Lehrbuchrechnung: { $draws } Monte-Carlo-Ziehungen, Startwert { $seed }. Definition { $digest }.

report-fact_textbook = Lehrbuchrechnung
report-fact_textbook_note = der Massenverlust als das entstandene { $gas } gezählt{ $grows ->
    [sample] , über die Steigung der steigenden Geraden
   *[reagent] {""}
    }; aus dem Schnittpunkt ihrer zwei Geraden ergäbe sich { $second }
report-fact_equivalence = Äquivalenzpunkt
report-fact_equivalence_note = { $used_up }; die Lehrbuchrechnung sagt { $found }
report-used_up = { $grows ->
    [sample] Probe, die das Reagenz ({ $name }, { $portion }) in jedem Gefäß aufbraucht
   *[reagent] { $name } für { $portion } Probe, sodass beides gerade aufgebraucht ist
    }
report-fact_held = { $gas } zurückgehalten
report-fact_held_note = { $below ->
    [yes] unter null: { $gas } im Gefäß ist leichter als die verdrängte Luft und vermindert die Anzeige der Waage
   *[no] entstanden, bei der letzten Wägung aber noch gelöst oder im Gefäß
    }: vom Ansatz mit dem wenigsten bis zu dem mit dem meisten
report-fact_second = Gehalt aus dem Äquivalenzpunkt
report-fact_second_note = ein zweiter Weg, über { $grows ->
    [sample] diese Masse, das Volumen
   *[reagent] dieses Volumen
    } und die Konzentration des Reagenzes
report-fact_scatter = Streuung um die zwei Geraden
report-fact_scatter_value = { $scatter }-mal
report-fact_scatter_note = so viel, wie { $grows ->
    [sample] die Geräte und das Gas erklären, das ein Gefäß mehr zurückhält als ein anderes
   *[reagent] die Geräte erklären
    }; etwa 1 ist zu erwarten{ $widened ->
    [yes] ; um so viel sind die Unsicherheiten der Geraden erweitert
   *[no] {""}
    }

report-warning = { $n ->
    [one] Ein Befund sagt Halt: Auf das Ergebnis ist kein Verlass, bis er geklärt ist.
   *[other] { $n } Befunde sagen Halt: Auf das Ergebnis ist kein Verlass, bis sie geklärt sind.
    }
report-whole_row = ganze Reihe
report-severity_stop = Halt
report-severity_look = prüfen
report-severity_note = Hinweis
report-to_do = Zu tun: { $do }
report-nothing_odd = An den Ablesungen ist nichts aufgefallen.
report-unused_none = Kein Ergebnis verwendet { $runs }: { $why }.
report-unused_textbook = Die Lehrbuchrechnung kann { $runs } nicht verwenden: { $why }. Das Modell kann es.
report-unused_lines = Die zwei Geraden verwenden { $runs } nicht: { $why }.
report-unused_both = Weder die zwei Geraden noch das Modell verwenden { $runs }: { $why }.
report-unused_model = Das Modell verwendet { $runs } nicht: { $why }.

report-runs_note = { $basis ->
    [slope] Stoffmengen der Ansätze mit dem Gehalt, den die Steigung der Geraden ergibt.
    [level] Stoffmengen der Ansätze mit dem gefundenen Gehalt, sodass die Ausbeute auf dem Plateau im Mittel 100 % ist.
    [claimed] Stoffmengen der Ansätze mit dem Gehalt, den das Etikett nennt.
   *[pure] Stoffmengen der Ansätze, als wäre die Probe rein.
    } Jedes ± ist ein u.
report-amounts_note = Stoffmengen nach dem Modell. Wo steht, was begrenzt, zählt Säure der Probe zum Reagenz. Jedes ± ist ein u.
report-gas_note = Zurückgehaltenes { $gas } ist noch gelöst oder liegt im Gefäß. Entstanden = verloren + zurückgehalten, abzüglich Dampf und Verdunstung, berichtigt um Auftrieb und Fehler der Waage. Die Ausbeute ist der Massenverlust geteilt durch das erwartete { $gas }: was die Lehrbuchrechnung sähe. Jedes ± ist ein u.
report-column_limits = begrenzt
report-column_chance = sicher zu
report-column_found = { $gas } gefunden
report-column_expected = { $gas } erwartet
report-column_yield = Ausbeute
report-column_lost = verloren
report-column_held = behalten
report-column_made = { $gas } gebildet
report-left_out = entfällt
report-middle_of = { $typed } (der mittlere von { $times } Werten)
report-small_shares = { $n } weitere, je unter { $limit }
report-brackets = { $value }({ $digits }) steht für { $value } ± { $u }.
report-molar_mass = molare Masse von { $name }
report-strength_of = Konzentration: { $name }
report-content_claimed = angegebener Gehalt
report-constants_note = Zahlen, die neben den Ablesungen verwendet wurden.
report-column_what = was
report-column_value = Wert
report-source_gum = JCGM 100:2008 (GUM): Standardunsicherheit, Runden, Budget
report-source_monte_carlo = JCGM 101:2008: Fortpflanzung von Verteilungen mit Monte Carlo
report-source_lines = D. J. Hudson, J. Am. Stat. Assoc. 61 (1966) 1097: zwei Geraden, die sich treffen

report-title_answer = Das Ergebnis
report-title_interval = 95-%-Bereich: { $interval }
report-title_waterfall = Von der Lehrbuchrechnung zum Modell des Gefäßes
report-title_runs = Ansatz für Ansatz
report-title_open = Gefäße, die noch nicht fertig sind
report-title_beside = Neben dem Ergebnis
report-title_model = Das Modell des Gefäßes
report-title_fit = Wie gut das Modell passt
report-title_worst = Ablesungen, die am schlechtesten passen
report-title_taught = Was die Ablesungen gelehrt haben
report-title_budget = Woher die Unsicherheit kommt
report-title_how = Wie jede Zahl entstanden ist
report-title_constants = Konstanten und Konzentration
report-title_row = Die Reihe
report-title_sources = Quellen
report-steps_note = Die Schritte 1 bis { $first } sind die Lehrbuchrechnung; die letzten { $last } sind die des Modells.
