# Achsen, Beschriftungen und Legenden der Diagramme.

charts-reactant = { $what ->
    [reagent] Reagenz
    [acid] Säure
   *[sample] Probe
    }
charts-the = { $what ->
    [reagent] das Reagenz
    [acid] die Säure
   *[sample] die Probe
    }
charts-limits = { $what ->
    [reagent] Reagenz begrenzt
    [acid] Säure begrenzt
   *[sample] Probe begrenzt
    }
charts-axis = { $grows ->
    [sample] Probe / g
   *[reagent] Reagenz / mL
    }
charts-along = { $grows ->
    [sample] die Probe in g
   *[reagent] das eingegossene Reagenz in mL
    }
charts-at_sample = { $place } Probe
charts-lost = Massenverlust / g
charts-made = entstandenes Gas
charts-made_by_model = entstandenes Gas nach dem Modell
charts-key = Jeder Punkt ist ein Ansatz, umgerechnet auf { $grows ->
    [sample] dasselbe Volumen Reagenz
   *[reagent] dieselbe Probenmasse
    }.
charts-key_model = Die dicke Kurve ist das Modell des Gefäßes.
charts-key_lines = Die dünnen gestrichelten Geraden sind die der Lehrbuchrechnung.
charts-key_made = Ein Strich über einem Punkt ist das Gas, das der Ansatz gemacht hat: was dazwischen liegt, ist zurückgehalten.
charts-key_bars = Balken: 95 %.
charts-key_band = Balken und getöntes Band: 95 %.
charts-key_marks = Zeichen: { $marks }.
charts-mark_reagent = Kreis, das Reagenz begrenzt
charts-mark_acid = Kreis, die Säure begrenzt
charts-mark_sample = Quadrat, die Probe begrenzt
charts-mark_not_sure = Raute, nicht sicher
charts-mark_not_used = leerer Kreis, nicht verwendet
charts-all_acid = Säure ist alle im Gefäß, eingegossene und die der Probe
charts-equivalence = Äquivalenzpunkt
charts-meet = Lehrbuchrechnung:{ $wrap }Schnittpunkt bei{ $wrap }{ $found }
charts-not_used = { $run } (nicht verwendet)
charts-no_sample = { $run } (ohne Probe)
charts-chance = Sicherheit, dass { $what ->
    [acid] die Säure
   *[reagent] das Reagenz
    } begrenzt / %
charts-content = Gehalt / %
charts-claim = Etikett: { $percent }
charts-ph = pH bei der letzten Wägung
charts-ph_note = Der pH-Wert nach dem Modell, als jedes Gefäß zum letzten Mal gewogen wurde; Balken: 95 %.
charts-ph_hollow = Leer: Die Lösung ist konzentrierter, als das Aktivitätsmodell vorsieht; der pH-Wert stimmt dort nur auf einige Zehntel.

charts-curve_alt = Diagramm des Massenverlusts in g gegen { $along }, { $n ->
    [one] ein Ansatz
   *[other] { $n } Ansätze
    }.
charts-model_alt = Die Kurve des Modells steigt, solange { $rising } begrenzt, und { $goes_on }, wo { $beyond } begrenzt; nach dem Modell ist beides bei { $at } aufgebraucht.
charts-lines_alt = Die Gerade der Lehrbuchrechnung steigt, solange { $rising } begrenzt, und { $goes_on }, wo { $beyond } begrenzt; ihre zwei Geraden treffen sich bei { $at }.
charts-falls = fällt wieder
charts-falls_from = fällt von { $top } wieder ab
charts-levels = biegt in die Waagrechte ein
charts-levels_at = biegt bei { $top } in die Waagrechte ein
charts-stays = bleibt bei { $top } waagrecht
charts-limiting_alt = Diagramm der Sicherheit, dass { $what ->
    [acid] die Säure
   *[reagent] das Reagenz
    } begrenzt: { $each }.
charts-budget_alt = Balken der Anteile jeder Quelle an der Varianz des Gehalts: { $each }.
