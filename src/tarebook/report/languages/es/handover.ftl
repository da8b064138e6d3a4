handover-stage = Estado: { $stage }
handover-stage_planned = planeado
handover-stage_poured = llenado
handover-stage_sample_weighed = muestra pesada
handover-stage_reacted = reaccionado
handover-stage_finished = terminado
handover-stages = de { $first } a { $last }
handover-verdict_fit = Listo para el paso siguiente
handover-verdict_fit_with_remarks = Listo para el paso siguiente, con observaciones
handover-verdict_not_fit = Todavía no está listo: aclarar primero lo que se dice abajo
handover-answer_planned = Todavía no se ha vertido nada. Vasos planeados: { $n }.
handover-answer_tares = Algunos vasos se pesaron vacíos; todavía no se ha vertido nada. Vasos planeados: { $n }.
handover-answer_poured = Los { $n } vasos tienen su líquido y esperan la muestra.
handover-answer_sample_weighed = Los { $n } vasos tienen su líquido, y sus muestras están pesadas.
handover-answer_reacted = Los { $n } vasos tienen ya la muestra y esperan la última pesada.
handover-answer_mixed = Vasos: { $parts }.
handover-count_planned = { $n } aún sin llenar
handover-count_poured = { $n } con líquido y sin muestra
handover-count_sample_weighed = { $n } con la muestra pesada
handover-count_reacted = { $n } a la espera de la última pesada
handover-count_finished = { $n } terminados
handover-and = y
handover-more = Y { $n } más, abajo.
handover-planned = Lo que está planeado
handover-planned_note_alone = Anotar lo que se leyó, no lo que se pedía.
handover-planned_note = Verter primero { $diluent }, después { $reagent }. Anotar lo que se leyó, no lo que se pedía.
handover-cups = Qué hay en cada vaso
handover-to_come = Lo que cada vaso debería perder y pesar al final
handover-to_lose = Lo que cada vaso debería perder
handover-table = tabla
handover-next = Qué hacer ahora
handover-handed_on = Entrega
handover-what = qué
handover-who = quién
handover-when = cuándo
handover-noticed = Lo que llamó la atención
handover-nothing_odd = No se vio nada raro.
handover-beside_plan = Comparado con el plan
handover-invented = Datos inventados.
handover-do_pour = Pesar cada vaso vacío ({ $vessel }). Verter primero { $diluent }, después { $reagent }; anotar los dos volúmenes tal como se leen. Pesarlo con el líquido.
handover-do_pour_alone = Pesar cada vaso vacío ({ $vessel }). Verter { $reagent }; anotar el volumen tal como se lee. Pesarlo con el líquido.
handover-do_weigh_own_sample = Pesar para cada vaso una porción de { $sample }, la que pide su fila, y anotarla.
handover-do_weigh_sample = Pesar para cada vaso una porción de { $sample } ({ $mass }, si su fila no dice otra cosa) y anotarla.
handover-do_weigh_again = Si un vaso ha estado más de unos minutos desde que se pesó con el líquido, pesarlo otra vez justo antes de añadir la muestra: en una hora se evaporan unos { $evaporation } de agua, que contarían como gas. Corregir la lectura; lo que había antes queda en el registro.
handover-do_settle = Aclarar primero lo que está en «{ $noticed }»: mirar de nuevo, leer de nuevo o volver a llenar ese vaso. Solo entonces seguir.
handover-do_add = Añadir la muestra, poco a poco si hace espuma, y agitar hasta que cese la efervescencia.
handover-do_finish = Esperar { $minutes } desde el final de la efervescencia, anotar el tiempo de espera y pesar el vaso por última vez.
handover-not_read = Aún sin leer, por número de vasos: { $readings }.
handover-not_read_one = { $reading } ({ $left } de { $n })
handover-read_tare_g = el vaso vacío
handover-read_reagent_mL = el reactivo vertido
handover-read_diluent_mL = el diluyente vertido
handover-read_vessel_liquid_g = el vaso con líquido
handover-read_sample_g = la muestra
handover-read_final_g = la masa final
handover-done_stock = Disolución madre comprobada
handover-done_poured = Vasos llenos y pesados
handover-done_samples = Muestras pesadas
handover-done_handed = Entregado
handover-done_taken = Recibido
handover-from_to = de { $first } a { $last }
handover-column_run = ensayo
handover-column_solution =
    disolución de { $formula }
    mL
handover-column_in_cup =
    { $formula } en el vaso
    mol/L
handover-column_lose =
    perderá
    g
handover-column_between =
    entre
    g
handover-column_final =
    pesará al final
    g
handover-to = a
handover-cups_note = Lo leído menos lo que se quedó. Cada ± es una u.
handover-note_from_mass = {"*"} Un volumen no se leyó y se calcula de la masa.
handover-note_from_plan = {"*"} Un volumen no se leyó y en su lugar vale el plan.
handover-note_doubtful = † Masa y volúmenes se contradicen: valen los volúmenes tal como se leyeron.
handover-for_content = Para un contenido de { $low } a { $high } % ({ $basis }).
handover-basis_claimed = alrededor de lo que se declara
handover-basis_open = porque no se declara nada
handover-portion_note = Si una porción pesa más o menos que esto, el vaso pesa al final lo mismo de más o de menos.
handover-ranges_note = Los intervalos son del 95 %.
handover-liquid = Líquido pesado y líquido leído
handover-liquid_note = Masa del líquido menos la masa que dicen sus dos volúmenes. Por debajo de cero: quedó líquido en el material de medida. La línea discontinua es el centro de la serie; un vaso lejos de ella se leyó mal, se derramó o se llenó dos veces. Las barras son del 95 %.
handover-column_by_volume =
    líquido por volumen
    g
handover-column_by_mass =
    líquido pesado
    g
handover-column_left =
    se quedó
    g
handover-left_note = Se quedó: el líquido según sus dos volúmenes, tal como se leyeron, menos el líquido pesado. Su ± contiene los errores de las lecturas de este vaso.
handover-column_asked =
    { $name }
    mL pedidos
handover-column_gap =
    leído − pedido
    mL
handover-column_as_planned = ¿según el plan?
handover-as_planned = según el plan
handover-other_limits = limita otro reactivo
handover-differs = distinto; no importa
handover-plan_note = Más de lo pedido es positivo. Importa si limitaría otro reactivo que el planeado.
handover-note_gap_from_mass = {"*"} Sin leer: lo que habría marcado la escala, calculado de la masa del líquido, menos lo pedido.
handover-fact_left = Lo que se quedó en los dos vertidos de un vaso
handover-fact_left_note = según las masas de todos los vasos: reactivo { $reagent }, diluyente { $diluent }; la suma se conoce mejor que cada uno
handover-fact_sides = Lados del punto de equivalencia
handover-fact_sides_value = { $before } antes, { $after } después
handover-fact_sides_note = vasos que están ahí con cualquier contenido del intervalo considerado; hacen falta dos en cada lado
handover-fact_known = El contenido se conocerá con
handover-fact_known_note = una u, en porcentaje en masa, si se terminan todos los vasos; lo planeado era { $planned }
handover-readings = Lecturas
handover-instruments = Instrumentos
handover-about_u = El número detrás de ± es u, la incertidumbre típica: lo que el valor puede estar desviado sin que sea raro. El intervalo del 95 % es donde está el valor verdadero en unos 19 de cada 20 experimentos así.
handover-rests_on = Lecturas del grupo { $group } según el registro: { $count } entradas, la última con el hash { $hash }.
handover-taken_by = Leído según la definición de la entrada { $event }, SHA-256 { $digest }.
handover-definition_changed = Los resultados se calculan con una definición que se ha cambiado desde entonces.
