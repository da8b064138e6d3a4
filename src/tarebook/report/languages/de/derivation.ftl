# Wie jede Zahl entstanden ist.

derivation-of_run = Ansatz { $run }: { $worked }
derivation-amount = Stoffmenge des Reagenzes
    .rule = n({ $species }) = Konzentration × eingegossenes Volumen
derivation-lost = Gefundenes Gas
    .rule = Massenverlust = Gefäß mit Flüssigkeit + Probe − Gefäß am Ende
derivation-limiting = Begrenzender Stoff und Ausbeute
    .rule = jede Stoffmenge durch ihre Zahl in der Gleichung teilen; die kleinere begrenzt und sagt, wie viel { $gas } zu erwarten ist; Ausbeute = gefunden / erwartet
    .worked = { $first } und { $second }, also begrenzt { $smaller }; erwartet { $expected }, Ausbeute { $yield }
derivation-no_yield = keine
derivation-uncertainty = Unsicherheit
    .rule = jede Ablesung wird innerhalb ihrer Toleranz zufällig verschoben und alles neu gerechnet; die Streuung der Ergebnisse ist u, ihre mittleren 95 % sind der Bereich
    .worked = { $draws } Wiederholungen ab Startwert { $seed }
derivation-fit = Eine Anpassung für die Reihe
    .rule = Gehalt, übrige Parameter und wahre Volumina und Massen sind diejenigen, bei denen die Summe von ((abgelesen − erwartet) / u)² am kleinsten ist, über alle Ablesungen und alles vorher Bekannte
    .worked = { $n } Ablesungen aus { $runs } Ansätzen: kleinste Summe χ² = { $chi2 }, Gehalt { $content }
derivation-chance = Sicherheit, dass ein Stoff begrenzt
    .rule = aus den Stoffmengen der Anpassung und ihren u: wie wahrscheinlich es ist, dass Reagenz und Säure der Probe zusammen weniger sind, als die Probe verbraucht
    .worked = die Zahlen stehen unter „{ $title }“
derivation-made = Entstandenes Gas
    .rule = Massenverlust + noch gelöstes Gas + Gas im Gefäß − Dampf − verdunstetes Wasser + Auftrieb in der Luft und Fehler der Waage
derivation-lines = Zwei Geraden
    .rule = Gas und Volumen durch die Probenmasse des Ansatzes teilen. Solange das Reagenz begrenzt, ist Gas = a + b × Volumen; sobald die Probe begrenzt, ist Gas = p.
    .worked = je Gramm Probe: a + b × Volumen = { $a } { $rise } × Volumen; p = { $p } Gas
derivation-longer = Die nächsten Schritte nehmen diese Zahlen um eine Stelle länger, als ihr u erlaubt.
derivation-lines_of_sample = Zwei Geraden
    .rule = Gas und Probe jedes Ansatzes auf { $portion } Reagenz umrechnen. Solange die Probe begrenzt, ist Gas = a + b × Probe; sobald { $acid ->
        [acid] die Säure
       *[reagent] das Reagenz
        } aufgebraucht ist, ist Gas = { $shape ->
        [level] p
        [rising] p + k × Probe
       *[falling] p − k × Probe
        }.
    .worked = für { $portion } Reagenz: a + b × Probe = { $a } + { $b } × Probe; { $beyond }
derivation-why_falling = Dort nimmt jedes weitere Gramm dem Hydrogencarbonat der anderen Säure weg, sodass das Gas so steil fällt, wie es stieg.
derivation-why_rising = Dort macht nur die Säure noch Gas, die jedes weitere Gramm selbst mitbringt.
derivation-level_of_gas = p = { $p } Gas
derivation-meet = Äquivalenzpunkt
    .rule = die Geraden treffen sich bei (p − a) / b; mal die Sollmasse der Probe
derivation-meet_of_sample = Äquivalenzpunkt
    .rule = die Geraden treffen sich bei (p − a) / { $below }: Dort ist beides gerade aufgebraucht
    .worked = { $sum } Probe
derivation-plateau = Gehalt aus dem Plateau
derivation-slope = Gehalt aus der Steigung
    .rule = jedes Gramm Probe macht b Gramm { $gas }: { $formula }
derivation-second = Gehalt aus dem Äquivalenzpunkt
    .rule = w = Konzentration × { $volume }{ $ratio } × M({ $analyte }) / { $sample }
    .rule_with_acid = w = (Konzentration × { $volume }{ $ratio } / { $sample } + Säure der Probe{ $share }) × M({ $analyte })
derivation-volume_there = Volumen am Äquivalenzpunkt
derivation-sample_mass = Probenmasse
derivation-volume = Volumen des Reagenzes
derivation-sample_there = Probe am Äquivalenzpunkt
