key-title = Lösungen für die Lehrkraft
key-warning = Nicht für Lernende.
key-answers = Antworten auf die Fragen
key-table = Ansatz für Ansatz
key-column_run = Ansatz
key-column_reagent =
    { $name }
    mmol
key-column_analyte =
    { $name }
    mmol
key-column_limits = begrenzt
key-column_gas =
    { $gas } nach Gleichung
    g
key-column_lost =
    Verlust auf der Waage
    g
key-column_stays =
    bleibt zurück
    g
key-table_note = Nach Gleichung: was der begrenzende Partner gibt, mit { $content } { $analyte } in der Probe und { $mass } Probe in jedem Ansatz. Auf der Waage: was nach dem Modell des Gefäßes bei der letzten Wägung fehlt, { $minutes } min nach dem Sprudeln; etwas Gas bleibt gelöst oder liegt im Gefäß, etwas Wasser geht mit. Wirkliche Messwerte streuen darum.
key-table_note_none = Nach Gleichung: was der begrenzende Partner gibt, mit { $content } { $analyte } in der Probe und { $mass } Probe in jedem Ansatz. Was gelöst bleibt, ist hier für diese Reaktion oder diese Konzentration nicht bekannt.
key-equivalence = Beide verbraucht bei { $volume } { $name } (nach der Gleichung).
key-look = Worauf zu achten ist
key-look_1 = Die Lehrbuchrechnung nimmt den Verlust auf der Waage für das entstandene Gas und findet deshalb zu wenig { $analyte }, wo Gas zurückbleibt: hier am Ende der Reihe { $percent } zu wenig.
key-look_1_sample = Gas, das in allen Gefäßen gleich viel zurückbleibt, schiebt die steigende Gerade nach unten und lässt ihre Steigung: der Gehalt an { $analyte } kommt aus der Steigung. Ansatz { $run } allein gäbe { $percent } zu wenig.
key-look_2 = Die Flüssigkeit wiegt immer etwas weniger, als ihre Volumina sagen, denn bei jedem Ausgießen bleibt etwas im Messgerät zurück: hier etwa { $lacks }, bei einer guten Gruppe bis zu { $usual }. Deshalb erst vergleichen, dann urteilen.
key-look_2_between = { $least } bis { $most }
key-look_2_vessel = Ein Gefäß, das mehr als { $limit } von den ebenso gefüllten seiner eigenen Gruppe abweicht, hat wahrscheinlich Flüssigkeit verloren, oder eine Skala wurde falsch abgelesen: etwa von da an nennt es auch die Prüfung der Messwerte.
key-look_2_room = Weichen alle Gefäße einer Gruppe mehr als { $limit } von denen der anderen Gruppen ab, so lohnt ein Blick darauf, wie sie abliest und ihre Messgeräte leert.
key-look_2_alone = Fehlen in allen Gefäßen einer Gruppe mehr als { $limit }, so lohnt ein Blick darauf, wie sie abliest und ihre Messgeräte leert.
key-look_3 = Der Äquivalenzpunkt zeigt sich am besten, wenn Ansätze auf beiden Seiten liegen: { $below } darunter, { $above } darüber.
key-look_4 = Die Probe bringt eigene Säure mit, { $amount } mmol H⁺ je Gramm ({ $acids }): sie zählt zur abgemessenen dazu, und so entsteht mehr Gas, als diese allein geben könnte.
key-column_own =
    eigene Säure
    mmol H⁺
key-acid_limits = Säure
key-note_own = Die Säure der Probe zählt zur abgemessenen: wo Säure steht, sind beide zusammen zuerst verbraucht.
key-note_two_steps = Bis zur Hälfte der Säure, die alles { $analyte } braucht, entsteht kein Gas: erst wird aus Carbonat Hydrogencarbonat.
key-equivalence_sample = Beide verbraucht bei { $mass } Probe (nach der Gleichung).
key-equivalence_both = Beide verbraucht bei { $volume } { $name } nach der Gleichung; bei abgelesenen { $read }, denn bei jedem Ausgießen bleibt etwas zurück.
key-equivalence_sample_both = Beide verbraucht bei { $mass } Probe nach der Gleichung; bei { $read }, so wie gemessen wird, denn bei jedem Ausgießen bleibt etwas vom Reagenz zurück.
key-equivalence_own_all = Die Säure der Probe verbraucht allein schon alles { $analyte }: nach der Gleichung ändert { $name } nichts.
key-look_5 = Das Gefäß ohne { $name } zeigt die Säure der Probe allein: { $mass } { $gas } nach der Gleichung. Jeder Milliliter gibt etwas dazu, bis zu abgelesenen { $volume }; danach bleibt Säure übrig, und der Verlust bleibt gleich.
key-look_6 = Die ersten Gefäße, bis { $volume } { $name }, verlieren fast nichts: dort wird aus Carbonat Hydrogencarbonat. Das ist richtig und kein misslungener Ansatz.
key-look_7 = Der Verlust ist nicht das Gas allein: von den { $lost }, die Ansatz { $run } verliert, sind etwa { $water } ({ $percent }) Wasser, das als Dampf mit dem warmen Gas und beim Warten geht. Die Lehrbuchrechnung hält es für { $gas } und findet zu viel { $analyte }; ein Gefäß ohne Probe zeigt, was verdunstet.
key-look_6_sample = Über { $mass } { $name } wird es wieder weniger Gas: jedes weitere Gramm nimmt dem Hydrogencarbonat der übrigen Säure weg. Ab { $none } verliert ein Gefäß fast nichts. Das ist richtig so und kein misslungener Ansatz.
key-table_note_sample = Nach Gleichung: was der begrenzende Partner gibt, mit { $content } { $analyte } in der Probe und so viel Probe, wie die Reihe in jedem Ansatz verlangt. Auf der Waage: was nach dem Modell des Gefäßes bei der letzten Wägung fehlt, { $minutes } min nach dem Sprudeln; etwas Gas bleibt gelöst oder liegt im Gefäß, etwas Wasser geht mit. Wirkliche Messwerte streuen darum.
key-table_note_none_sample = Nach Gleichung: was der begrenzende Partner gibt, mit { $content } { $analyte } in der Probe und so viel Probe, wie die Reihe in jedem Ansatz verlangt. Was gelöst bleibt, ist hier für diese Reaktion oder diese Konzentration nicht bekannt.
key-look_4_open = Niemand sagt, wie viel Säure die Probe mitbringt ({ $acids }); die Tabelle rechnet mit { $amount } mmol H⁺ je Gramm. Die wirkliche Reihe kann weit davon abweichen: die Gefäße mit wenig Reagenz zeigen es.
