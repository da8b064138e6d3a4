# Was das volle Modell sagt.

model-about = Das Modell des Gefäßes folgt jedem Ansatz vom Eingießen bis zur letzten Wägung: was im Messgefäß zurückbleibt, wie Säure und Probe reagieren, wie viel Gas gelöst bleibt oder im Gefäß liegt, was verdunstet und was eine Waage von alldem zeigt. Es wird an alle Ablesungen aller Ansätze zugleich angepasst, zusammen mit dem, was über Geräte und Gefäß vorher bekannt ist. Wie es hergeleitet ist, was es annimmt und wann ihm nicht zu trauen ist, steht in der Dokumentation, im Kapitel über das Modell des Gefäßes.
model-usual_open = Die Lehrbuchrechnung hat für diese Reihe kein Ergebnis: { $why }.
model-usual = Die Lehrbuchrechnung zählt den Massenverlust als das entstandene { $gas } und ergibt { $found }, das liegt { $apart } Prozentpunkte { $way ->
    [lower] tiefer
   *[higher] höher
    }.
model-usual_slope = Sie folgt aus der Steigung der steigenden Geraden; Gas, das in allen Gefäßen gleich viel zurückbleibt, ändert diese nicht. Was ein Gefäß mehr zurückhält als ein anderes, zählt ihr ± als Fehler jedes Gefäßes; Gefäße mit mehr Probe halten mehr zurück, deshalb ist sie meist um 1 bis 3 % zu klein.
model-usual_leaves_out = Was sie weglässt, deckt ihr ± nicht ab; am meisten macht aus: { $effect }.
model-verdicts_both_agree = Auch nach dieser Rechnung stimmt die Probe mit ihrem Etikett überein ({ $times } auseinander).
model-verdicts_full_agrees = Allein nach dieser Rechnung sähe das Etikett falsch aus ({ $times } auseinander).
model-verdicts_usual_agrees = Allein nach dieser Rechnung sähe das Etikett richtig aus ({ $times } auseinander).
model-verdicts_none_agrees = Auch nach dieser Rechnung stimmt die Probe nicht mit ihrem Etikett überein ({ $times } auseinander).
model-waterfall_note = Jeder Balken ist, was ein Effekt am Gehalt ändert, in Prozentpunkten, wenn alle über ihm schon gezählt sind; wie viel jeder beiträgt, hängt ein wenig von der Reihenfolge ab.
model-fit_untested = In dieser Reihe ist keine Ablesung übrig, an der sich die Anpassung prüfen ließe.
model-fit = Die Ablesungen liegen { $how_well ->
    [poor] weiter vom Modell entfernt, als ihre Unsicherheiten zulassen: Eine Ablesung ist falsch, oder das Modell gilt hier nicht
    [fair] etwas weiter vom Modell entfernt, als ihre Unsicherheiten erwarten lassen
    [too_good] näher am Modell, als ihre Unsicherheiten erwarten lassen: Diese sind vielleicht zu groß angegeben
   *[good] so nahe am Modell, wie ihre Unsicherheiten erwarten lassen
    } (χ² = { $chi2 } bei { $dof ->
    [one] { $dof } Freiheitsgrad
   *[other] { $dof } Freiheitsgraden
    }; { $chance } solcher Reihen lägen weiter weg).
model-interval = Der 95-%-Bereich ist ein Profil: Der Gehalt wurde auf einem Wert nach dem anderen festgehalten und alles Übrige neu angepasst, weil die Anpassung zu stark gekrümmt ist, als dass Wert ± 1,96 u stimmen würde.
model-residuals_note = Ablesungen, die mehr als 2 u von dem abweichen, was das Modell nach allen anderen erwartet. Passen andere desselben Ansatzes ebenso schlecht, kann jede von ihnen die falsche sein.
model-column_reading = Ablesung
model-column_read = abgelesen
model-column_expected = erwartet
model-column_off = daneben um
model-column_alike = oder ebenso
model-reading_tare_g = leeres Gefäß
model-reading_reagent_mL = Volumen des Reagenzes
model-reading_diluent_mL = Volumen: { $diluent }
model-reading_vessel_liquid_g = Gefäß mit Flüssigkeit
model-reading_sample_g = Probe
model-reading_final_g = Gefäß am Ende
model-parameters_note = Vor und nach den Ablesungen; gelernt ist der Teil der Varianz, den sie weggenommen haben.
model-column_before = vorher
model-column_after = nachher
model-column_learned = gelernt
model-column_source = woher das vorher Bekannte stammt
model-nothing = nichts
model-uninformed = Die Ablesungen sagen nichts über: { $names }. Was das Ergebnis diesen verdankt, ruht auf dem vorher Bekannten.
model-confounded = Die Ablesungen allein können nicht auseinanderhalten (mit ihrer Korrelation): { $pairs }. Unter null sähe das eine größer und das andere kleiner gleich aus; über null beide größer.
model-pair = { $first } und { $second } ({ $correlation })
model-assumed = Vorausgesetzt: { $assumption }
model-of_run = { $reading }, Ansatz { $run }
model-missing_one_little = Nicht verwendet: { $which }. Damit wäre der Gehalt kaum besser bekannt.
model-missing_one = Nicht verwendet: { $which }. Damit wäre u des Gehalts { $with_it } statt { $without } Prozentpunkte.
model-missing_little = { $n } Ablesungen fehlen oder werden nicht verwendet. Mit keiner von ihnen wäre der Gehalt merklich besser bekannt.
model-missing = { $n } Ablesungen fehlen oder werden nicht verwendet. Am meisten fehlt: { $which }. Damit wäre u des Gehalts { $with_it } statt { $without } Prozentpunkte.
model-waterfall_alt = Balken von der Lehrbuchrechnung zum Modell, Gehalt in %: { $each }.
model-ph_alt = Diagramm des pH-Werts bei der letzten Wägung gegen { $along }: { $each }.

model-effect_buoyancy = Auftrieb in der Luft
    .words = Die Luft trägt einen Teil des Gewichts von allem, was auf der Waage liegt.
model-effect_calibration = Skalen der Messgefäße
    .words = Die Skalen der beiden Messgefäße sind ein wenig zu lang oder zu kurz.
model-effect_hold-up = Rest bei jedem Eingießen
    .words = Bei jedem Eingießen bleibt ein wenig Flüssigkeit im Messgefäß zurück.
model-effect_own_acid = Säure der Probe selbst
    .words = Säure, die die Probe mitbringt, macht Gas ohne Reagenz; eine Base neben dem Analyten verbraucht Reagenz, ohne dass Gas entsteht.
model-effect_dissolved_gas = Gas, das gelöst bleibt
    .words = Ein Teil des entstandenen Gases bleibt gelöst, und überschüssige Probe hält noch mehr davon zurück.
model-effect_head_gas = Gas, das im Gefäß liegt
    .words = Ein Teil des Gases liegt anstelle von Luft im Gefäß und wird mitgewogen.
model-effect_vapour = Dampf, der mit dem Gas geht
    .words = Das entweichende Gas nimmt Wasserdampf mit.
model-effect_evaporation = Wasser, das verdunstet
    .words = Während das Gefäß steht und wartet, verdunstet Wasser.
model-effect_cooling = Abkühlung durch die Reaktion
    .words = Die Reaktion kühlt oder wärmt die Flüssigkeit: Eine kalte hält mehr Gas, eine warme verliert mehr Dampf.
model-effect_usual_sum = Lehrbuchrechnung
model-effect_all_readings_weighed_together = alle Ablesungen zusammen
    .words = Die Lehrbuchrechnung liest den Gehalt nur am waagrechten Teil der Reihe ab. Hier zählt jede Ablesung jedes Ansatzes, genaue zählen mehr: auch die des steigenden Teils, wo Volumen und Konzentration des Reagenzes sagen, wie viel reagiert hat.
    .words_sample = Die Lehrbuchrechnung liest den Gehalt nur an der Steigung der Geraden ab. Hier zählt jede Ablesung jedes Ansatzes, genaue zählen mehr: auch die jenseits des Anstiegs, wo Volumen und Konzentration des Reagenzes sagen, wie viel reagiert hat.
model-whole = Modell des Gefäßes

model-of_content = { $analyte } in der Probe
model-of_own_acid = Säure der Probe selbst
model-of_concentration = Konzentration des Reagenzes
model-of_scale_reagent = Skalenfehler, Messgefäß des Reagenzes
model-of_scale_diluent = Skalenfehler, Messgefäß für { $diluent }
model-of_hold_up_reagent = Reagenz, Rest bei jedem Eingießen
model-of_hold_up_diluent = { $diluent }, Rest bei jedem Eingießen
model-of_gas_pressure = { $gas }-Druck in der Flüssigkeit
model-of_degassing = wie schnell dieser Druck fällt
model-of_head_fraction = Luftraum noch voll { $gas }
model-of_evaporation = Wasser, das verdunstet
model-of_vapour_saturation = Feuchte des entweichenden Gases
model-of_heat_kept = Reaktionswärme, die in der Flüssigkeit bleibt
model-of_waiting = Wartezeit, wo nicht notiert, durch geplante
model-of_first_pk_shift = Verschiebung des ersten pK der Kohlensäure
model-of_activity = Gas, das wegen der Aktivitäten bleibt, in u des Modells
model-of_saturation = ln der Sättigung mit dem übrigen Feststoff

model-no_equilibrium = Für { $analyte } und { $reagent } ist hier kein Gleichgewicht bekannt: Es wird angenommen, dass die Reaktion vollständig abläuft{ $heat ->
    [yes] {""}
   *[no] {" "}und sich die Temperatur nicht ändert
    }; ein pH-Wert wird nicht angegeben.
model-dissolves_so_far = Es wird angenommen, dass sich { $analyte } ohne Säure so weit löst, wie sein Löslichkeitsprodukt erlaubt, auf einen Faktor zwei in der Sättigung genau.
model-acid_has_no_part = Es wird angenommen, dass Säure der Probe selbst an der Bildung von { $gas } nicht beteiligt ist.
model-acid_without_name = Die Definition nennt die Säure der Probe nicht; sie wird als Citronensäure angenommen.
model-acid_taken_for_strong = Die Säure der Probe, die keinen Namen hat, wird als stark angenommen.
model-may_hold_base = Die Probe enthält vielleicht etwas Base, die kein Gas gibt, wie gebrannter Kalk; das verbreitert den Bereich. Ist das ausgeschlossen, own_acid = "none" unter [sample] schreiben.
