# Cómo se obtuvo cada número.

derivation-of_run = ensayo { $run }: { $worked }
derivation-amount = Cantidad de reactivo
    .rule = n({ $species }) = concentración × volumen vertido
derivation-lost = Gas hallado
    .rule = masa perdida = vaso con líquido + muestra − vaso al final
derivation-limiting = Reactivo limitante y rendimiento
    .rule = dividir cada cantidad por su número en la ecuación; la menor limita y dice cuánto { $gas } se espera; rendimiento = hallado / esperado
    .worked = { $first } y { $second }, luego limita { $smaller }; esperado { $expected }, rendimiento { $yield }
derivation-no_yield = ninguno
derivation-uncertainty = Incertidumbre
    .rule = cada lectura se desplaza al azar dentro de su tolerancia y todo se calcula de nuevo; la dispersión de las respuestas es u, su 95 % central el intervalo
    .worked = { $draws } repeticiones, desde la semilla { $seed }
derivation-fit = Un solo ajuste para la serie
    .rule = el contenido, los demás parámetros y los volúmenes y masas verdaderos son los que hacen mínima la suma de ((leído − esperado) / u)², sobre todas las lecturas y todo lo que se sabía de antemano
    .worked = { $n } lecturas de { $runs } ensayos: suma mínima χ² = { $chi2 }, contenido { $content }
derivation-chance = Probabilidad de que uno limite
    .rule = por las cantidades que halla el ajuste y sus u: cómo de probable es que el reactivo y el ácido de la muestra juntos sean menos de lo que la muestra gasta
    .worked = los números están en «{ $title }»
derivation-made = Gas formado
    .rule = masa perdida + gas aún disuelto + gas dentro del vaso − vapor − agua evaporada + empuje del aire y error de la balanza
derivation-lines = Dos rectas
    .rule = Dividir gas y volumen por la masa de muestra del ensayo. Mientras limita el reactivo, gas = a + b × volumen; en cuanto limita la muestra, gas = p.
    .worked = por gramo de muestra: a + b × volumen = { $a } { $rise } × volumen; p = { $p } de gas
derivation-longer = Los pasos siguientes toman estos números con una cifra más de la que permite su u.
derivation-lines_of_sample = Dos rectas
    .rule = Convertir gas y muestra de cada ensayo a { $portion } de reactivo. Mientras limita la muestra, gas = a + b × muestra; una vez agotado { $acid ->
        [acid] el ácido
       *[reagent] el reactivo
        }, gas = { $shape ->
        [level] p
        [rising] p + k × muestra
       *[falling] p − k × muestra
        }.
    .worked = para { $portion } de reactivo: a + b × muestra = { $a } + { $b } × muestra; { $beyond }
derivation-why_falling = Allí cada gramo de más quita ácido al hidrogenocarbonato de los otros, así que el gas baja tan deprisa como subió.
derivation-why_rising = Allí solo forma gas el ácido que trae cada gramo de más.
derivation-level_of_gas = p = { $p } de gas
derivation-meet = Punto de equivalencia
    .rule = las rectas se cortan en (p − a) / b; por la masa nominal de muestra
derivation-meet_of_sample = Punto de equivalencia
    .rule = las rectas se cortan en (p − a) / { $below }: allí ambos se agotan justo
    .worked = { $sum } de muestra
derivation-plateau = Contenido por la meseta
derivation-slope = Contenido por la pendiente
    .rule = cada gramo de muestra forma b gramos de { $gas }: { $formula }
derivation-second = Contenido por el punto de equivalencia
    .rule = w = concentración × { $volume }{ $ratio } × M({ $analyte }) / { $sample }
    .rule_with_acid = w = (concentración × { $volume }{ $ratio } / { $sample } + ácido de la muestra{ $share }) × M({ $analyte })
derivation-volume_there = volumen en el punto de equivalencia
derivation-sample_mass = masa de muestra
derivation-volume = volumen de reactivo
derivation-sample_there = muestra en el punto de equivalencia
