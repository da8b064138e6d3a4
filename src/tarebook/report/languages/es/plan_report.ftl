# Lo que dice un plan en el terminal, en papel y en su página: frases, tablas, gráficos.

plan_report-answer = Este plan funciona{ $how ->
    [part] {" "}solo para una parte de los contenidos
    [caution] , con una reserva
   *[plain] {""}
    }: el punto de equivalencia está en { $at }{ $n ->
    [0] {""}
   *[other] , entre los ensayos { $between }
    }.
plan_report-fails = Este plan no funciona. { $why }
plan_report-stop = Alto: no vierta nada todavía. { $why }
plan_report-expected = Se espera conocer el contenido a ±{ $content } y el punto de equivalencia a ±{ $at } (incertidumbres típicas), para cualquier contenido de { $low } a { $high }.
plan_report-planned_for = Planificado para un contenido de { $low } a { $high }.
plan_report-anew = Trazada de nuevo según sus deseos: { $runs } ensayos, { $reagent } de { $strength }, { $mass } de muestra, { $total } en cada vaso.
plan_report-vessel = En el vaso ({ $vessel }) el líquido llega a { $height } de { $whole } de altura; quedan libres { $free }. Espuma de los primeros segundos: como mucho unos { $foam } (regla aproximada, sin fuente; pruebe antes con un vaso).
plan_report-takes = La serie gasta { $stock } de disolución madre, { $diluent } de diluyente ({ $name }) y { $sample } de muestra, sin contar reservas.
plan_report-no_upgrade = Ningún instrumento mejor de las tablas lo cambiaría.
plan_report-upgrades = Cuánto reduciría un instrumento mejor el ± { $best ->
    [content] del contenido
   *[equivalence] del punto de equivalencia
    }
plan_report-method = Tarebook { $version }{ $date }. Información esperada del ajuste conjunto, promediada sobre los contenidos previstos; bandas de { $draws } sorteos, semilla { $seed }; definición { $digest }.
plan_report-curve_alt = Gráfico de la pérdida de masa esperada en g frente { $grows ->
    [reagent] al reactivo en mL
   *[sample] a la muestra en g
    }, { $runs } ensayos. Sube mientras limita { $rising ->
    [reagent] el reactivo
    [acid] el ácido
   *[sample] la muestra
    }, cambia en { $at } y { $falls ->
    [yes] vuelve a bajar desde
   *[no] se queda cerca de
    } { $most }.
plan_report-rows_alt = Dónde están los ensayos a lo largo del volumen de reactivo. { $said }.
plan_report-both = { $said } según la lectura ({ $other } según la ecuación)
plan_report-steps = de { $first } a { $last } en pasos de { $step }
plan_report-row_given = esta serie
plan_report-row_equal_steps = pasos iguales
plan_report-row_best = la mejor
plan_report-row_even = serie uniforme

## Tablas

plan_report-column_row = serie
plan_report-column_run = ensayo
plan_report-column_sample =
    muestra
    g
plan_report-column_reagent =
    react.
    mL
plan_report-column_diluent =
    diluy.
    mL
plan_report-column_content =
    cont.
    ±, %
plan_report-column_equivalence =
    p. eq.
    ±, { $unit }
plan_report-column_gain =
    mejora
    %
plan_report-column_loss =
    pérdida
    g
plan_report-column_loss_u =
    pérdida
    en u
plan_report-column_limits =
    limita
    react.
plan_report-column_content_more =
    cont.
    + %
plan_report-column_equivalence_more =
    p. eq.
    + %
plan_report-column_reading = lectura
plan_report-column_misread =
    mal leído
    sin efecto
plan_report-column_own =
    u de una
    lectura
plan_report-column_miss =
    mal medido
    sin efecto
plan_report-column_so = conclusión
plan_report-column_if = si
plan_report-column_at =
    p. eq.
    mL
plan_report-column_place =
    lugar
    0 a 1
plan_report-column_stock =
    madre
    mL
plan_report-gain = Mejora: cuánto menor es u { $best ->
    [content] del contenido
   *[equivalence] del punto de equivalencia
    } que con pasos iguales de todo el volumen.
plan_report-one_alone = Un vaso que se llena con un solo recipiente de medida muestra lo que queda dentro de este.
plan_report-other_sample = Con { $mass } de muestra, la mejor distribución llegaría a ±{ $u }.
plan_report-about_runs = Pérdida en u: dividida por la incertidumbre típica de las balanzas. Las dos últimas columnas: cuánto crece u del contenido y del punto de equivalencia sin este ensayo.
plan_report-about_care = Para el ensayo en que más importa. Sin efecto: el error de lectura mueve el resultado menos de un quinto de su u; la cantidad mal medida, si se lee lo que de verdad se tomó, hace crecer u menos de un 2 %.
plan_report-about_variants = ±: u. Lugar: el del punto de equivalencia entre el primer ensayo (0) y el último (1); fuera de ahí la serie no lo muestra. Pérdida: la mayor de la serie. Madre: disolución madre.
plan_report-reading_reagent = reactivo vertido
plan_report-reading_diluent = diluyente vertido
plan_report-reading_tare = vaso vacío
plan_report-reading_liquid = vaso con líquido
plan_report-reading_sample = muestra
plan_report-reading_final = masa final
plan_report-reading_temperature = temperatura
plan_report-reading_minutes = tiempo de espera
plan_report-any = cualquiera
plan_report-hit = acertar
plan_report-so_minute = al minuto
plan_report-so_time = cronometrar
plan_report-so_most = lo que más importa
plan_report-so_care = leer con cuidado
plan_report-so_none = no es crítica
plan_report-so_usual = cuidado habitual

## Gráficos

plan_report-key = La línea es la pérdida de masa que se espera ver en la balanza; la banda, lo que no se conoce de antemano (95 %, sobre todo el contenido); la franja, dónde puede estar el punto de equivalencia. Círculo: limita { $acid ->
    [acid] el ácido
   *[reagent] el reactivo
    }; cuadrado: limita la muestra; rombo: no es seguro.
plan_report-axis = { $grows ->
    [sample] muestra / g
   *[reagent] reactivo por verter / mL
    }
plan_report-axis_loss = pérdida de masa esperada / g
plan_report-axis_reagent = reactivo / mL
plan_report-point = punto de equivalencia { $at }

## Lo que está sobre las partes y al pie del papel

plan_report-title_plan = Plan de la serie
plan_report-title_rows = Comparación de series
plan_report-title_vessel = En el vaso y del armario
plan_report-title_runs = Ensayo por ensayo
plan_report-title_care = Con qué exactitud hay que leer
plan_report-title_what_if = Qué pasaría si
plan_report-check = Compruébelo con la ficha de datos de seguridad del proveedor y las normas locales; decide la persona responsable.
