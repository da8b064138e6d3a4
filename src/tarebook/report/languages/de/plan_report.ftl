# Was ein Plan auf dem Terminal, auf Papier und auf seiner Seite sagt: Sätze, Tabellen, Bilder.

plan_report-answer = Dieser Plan geht auf{ $how ->
    [part] , aber nur für einen Teil der Gehalte
    [caution] , mit einer Einschränkung
   *[plain] {""}
    }: Der Äquivalenzpunkt liegt bei { $at }{ $n ->
    [0] {""}
   *[other] , zwischen den Ansätzen { $between }
    }.
plan_report-fails = Dieser Plan geht nicht auf. { $why }
plan_report-stop = Halt, noch nichts eingießen. { $why }
plan_report-expected = Zu erwarten: der Gehalt auf ±{ $content }, der Äquivalenzpunkt auf ±{ $at } (Standardunsicherheiten), bei jedem Gehalt von { $low } bis { $high }.
plan_report-planned_for = Geplant für einen Gehalt von { $low } bis { $high }.
plan_report-anew = Nach den Wünschen neu angelegt: { $runs } Ansätze, { $reagent } mit { $strength }, { $mass } Probe, { $total } in jedem Gefäß.
plan_report-vessel = Im Gefäß ({ $vessel }) steht die Flüssigkeit { $height } von { $whole } hoch; { $free } bleiben frei. Schaum der ersten Sekunden: höchstens etwa { $foam } (Faustregel ohne Quelle; zuerst an einem Gefäß ausprobieren).
plan_report-takes = Die Reihe braucht { $stock } Stammlösung, { $diluent } Verdünnungsmittel ({ $name }) und { $sample } Probe, ohne Reserve.
plan_report-no_upgrade = Kein besseres Gerät der Tabellen würde daran etwas ändern.
plan_report-upgrades = Um wie viel ein besseres Gerät das ± { $best ->
    [content] des Gehalts
   *[equivalence] des Äquivalenzpunkts
    } verkleinern würde
plan_report-method = Tarebook { $version }{ $date }. Zu erwartende Information der gemeinsamen Anpassung, gemittelt über die Gehalte, für die geplant ist; Bänder aus { $draws } Ziehungen, Startwert { $seed }; Definition { $digest }.
plan_report-curve_alt = Bild des zu erwartenden Massenverlusts in g gegen { $grows ->
    [reagent] das Reagenz in mL
   *[sample] die Probe in g
    }, { $runs } Ansätze. Er steigt, solange { $rising ->
    [reagent] das Reagenz
    [acid] die Säure
   *[sample] die Probe
    } begrenzt, knickt bei { $at } und { $falls ->
    [yes] fällt dann wieder, von
   *[no] bleibt dann bei etwa
    } { $most }.
plan_report-rows_alt = Wo die Ansätze auf der Achse des Reagenzvolumens stehen. { $said }.
plan_report-both = { $said } wie abgelesen ({ $other } nach der Gleichung)
plan_report-steps = { $first } bis { $last } in Schritten von { $step }
plan_report-row_given = diese Reihe
plan_report-row_equal_steps = gleiche Schritte
plan_report-row_best = beste
plan_report-row_even = gleichmäßige Reihe

## Tabellen

plan_report-column_row = Reihe
plan_report-column_run = Ansatz
plan_report-column_sample =
    Probe
    g
plan_report-column_reagent =
    Reagenz
    mL
plan_report-column_diluent =
    Verd.
    mL
plan_report-column_content =
    Gehalt
    ±, %
plan_report-column_equivalence =
    Äquiv.
    ±, { $unit }
plan_report-column_gain =
    Gewinn
    %
plan_report-column_loss =
    Verlust
    g
plan_report-column_loss_u =
    Verl.
    in u
plan_report-column_limits =
    Reagenz
    begr.
plan_report-column_content_more =
    Gehalt
    + %
plan_report-column_equivalence_more =
    Äquiv.
    + %
plan_report-column_reading = Ablesung
plan_report-column_misread =
    Lesefehler
    harmlos
plan_report-column_own =
    u einer
    Ablesung
plan_report-column_miss =
    Ziel verfehlt
    harmlos
plan_report-column_so = also
plan_report-column_if = wenn
plan_report-column_at =
    Äquiv.
    mL
plan_report-column_place =
    Lage
    0 bis 1
plan_report-column_stock =
    Stamml.
    mL
plan_report-gain = Gewinn: um wie viel u { $best ->
    [content] des Gehalts
   *[equivalence] des Äquivalenzpunkts
    } kleiner ist als bei gleichen Schritten über das ganze Volumen.
plan_report-one_alone = Ein Gefäß, das aus nur einem Messgefäß gefüllt wird, verrät, was in diesem zurückbleibt.
plan_report-other_sample = Mit { $mass } Probe käme die beste Verteilung auf ±{ $u }.
plan_report-about_runs = Verlust in u: geteilt durch die Standardunsicherheit der Waagen. Die letzten beiden Spalten: um wie viel u von Gehalt und Äquivalenzpunkt ohne diesen Ansatz wächst.
plan_report-about_care = Für den Ansatz, bei dem es am meisten zählt. Harmlos: Der Lesefehler verschiebt das Ergebnis um weniger als ein Fünftel seines u; das verfehlte Ziel lässt u um weniger als 2 % wachsen, wenn das wirklich Genommene abgelesen wird.
plan_report-about_variants = ±: u. Lage: des Äquivalenzpunkts zwischen dem ersten Ansatz (0) und dem letzten (1); außerhalb davon zeigt ihn die Reihe nicht. Verlust: der größte der Reihe.
plan_report-reading_reagent = Reagenz
plan_report-reading_diluent = Verdünnungsmittel
plan_report-reading_tare = leeres Gefäß
plan_report-reading_liquid = Gefäß mit Flüssigkeit
plan_report-reading_sample = Probe
plan_report-reading_final = Endmasse
plan_report-reading_temperature = Temperatur
plan_report-reading_minutes = Wartezeit
plan_report-any = beliebig
plan_report-hit = treffen
plan_report-so_minute = auf die Minute
plan_report-so_time = Zeit nehmen
plan_report-so_most = zählt am meisten
plan_report-so_care = genau ablesen
plan_report-so_none = unkritisch
plan_report-so_usual = übliche Sorgfalt

## Bilder

plan_report-key = Die Linie ist der Massenverlust, den die Waage voraussichtlich zeigt, das Band, was vorher nicht bekannt ist (95 %, vor allem der Gehalt); der Streifen, wo der Äquivalenzpunkt liegen kann. Kreis: { $acid ->
    [acid] die Säure
   *[reagent] das Reagenz
    } begrenzt; Quadrat: die Probe begrenzt; Raute: nicht sicher.
plan_report-axis = { $grows ->
    [sample] Probe / g
   *[reagent] Reagenz einzugießen / mL
    }
plan_report-axis_loss = zu erwartender Massenverlust / g
plan_report-axis_reagent = Reagenz / mL
plan_report-point = Äquivalenzpunkt { $at }

## Was über den Teilen steht, und am Fuß des Papiers

plan_report-title_plan = Planung
plan_report-title_rows = Reihen im Vergleich
plan_report-title_vessel = Im Gefäß und aus dem Schrank
plan_report-title_runs = Ansatz für Ansatz
plan_report-title_care = Wie genau jede Ablesung sein muss
plan_report-title_what_if = Was wäre, wenn
plan_report-check = Mit dem Sicherheitsdatenblatt des Lieferanten und den örtlichen Regeln abgleichen; die verantwortliche Person entscheidet.
