# Lo que dicen las páginas de la aplicación (web/templates y web/*.py), y los pasos de un ensayo.

# Todas las páginas.
app-to-content = Al contenido
app-events-missing = { $n ->
    [one] Falta { $n } entrada en el registro: antes era más largo. Avise a la persona responsable antes de seguir; ¿se puso una copia de seguridad en su lugar?
   *[other] Faltan { $n } entradas en el registro: antes era más largo. Avise a la persona responsable antes de seguir; ¿se puso una copia de seguridad en su lugar?
    }
app-other-record = Este no es el registro que había antes, o difiere de lo que se anotó aquí. Avise a la persona responsable antes de seguir; ¿se puso otro archivo en su lugar?
app-pages = Páginas
app-plan = Planificar
app-prepare = Preparar
app-groups = Grupos
app-bench = Mesa
app-results = Resultados
app-projector = Proyector
app-start = Inicio
app-join = Unirse
app-group = Grupo { $group }
app-instructor = Docente
app-leave = Salir en este dispositivo
app-language = Idioma de este dispositivo

# La primera página.
app-brought-in = { $n ->
    [one] Se pasó { $n } entrada de readings.csv al registro, como grupo 1.
   *[other] Se pasaron { $n } entradas de readings.csv al registro, como grupo 1.
    }
app-way-plan = { $n ->
    [one] ¿Funciona la serie? { $n } ensayo de { $total }.
   *[other] ¿Funciona la serie? { $n } ensayos de { $total } cada uno.
    }
app-way-prepare = Material, etiquetas, hojas de trabajo, peligros, soluciones: para imprimir.
app-way-groups = { $n ->
    [one] { $n } grupo.
   *[other] { $n } grupos.
    }
app-way-groups-shared = { $n ->
    [one] { $n } grupo, con un código.
   *[other] { $n } grupos, cada uno con un código.
    }
app-way-bench = Anotar ensayo por ensayo.
app-cups-done = { $done } de { $of } vasos terminados.
app-way-projector = Los puntos de la clase, a medida que llegan.

# La entrada.
app-join-title = Unirse al grupo
app-join-then = Después se abre la página que pidió.
app-join-code = Código del grupo
app-join-hint = El código está en la tarjeta del grupo, y el docente lo tiene. En mayúsculas o minúsculas, con guion o sin él.
app-join-instructor = Soy el docente
app-join-secret = Contraseña que mostró el terminal
app-join-enter = Entrar
app-wrong-code = Ese código no existe. Mírelo otra vez.
app-wrong-secret = Esa no es la contraseña. Se mostró cuando la aplicación se compartió por primera vez.
app-many-come-in = Está entrando mucha gente.
    .do = Espere 5 segundos e inténtelo otra vez.
app-too-many-tries = De aquí llegaron demasiados códigos equivocados.
    .do = { $seconds ->
    [one] Espere { $seconds } segundo e inténtelo otra vez.
   *[other] Espere { $seconds } segundos e inténtelo otra vez.
    }

# La mesa.
app-bench-of = Mesa:
app-read-by = Leído por
app-initials = iniciales
app-looking = Buscando el servidor …
app-join-again = Volver a unirse
app-no-script-bench = La mesa guarda las lecturas con un programa, también sin red; este navegador no ejecuta ninguno.
app-runs = Ensayos
app-run-before = El ensayo anterior
app-run-after = El ensayo siguiente
app-run = Ensayo
app-reading = Lectura
app-number-pad = Teclado numérico
app-key-back = Borrar el último carácter
app-key-clear = borrar
app-key-clear-all = Borrar todo
app-key-keep = Anotar
app-key-point = coma decimal
app-key-letters = teclado
app-another-filling = + otro llenado
app-leave-out = Omitir
app-second-reading = Segunda lectura
app-take-back = Retirar
app-back = Volver
app-why = Por qué
app-why-again = Lo leí de nuevo
app-why-typed = Lo escribí mal
app-why-other-cup = Es de otro vaso
app-why-else = Otra razón
app-next-run = Ensayo siguiente

# Los pasos de un ensayo: qué se lee …
app-label-tare_g = { $vessel }, sin nada
app-label-reagent_mL = { $reagent }
app-label-reagent_start_mL = { $reagent }: inicio
app-label-reagent_end_mL = { $reagent }: final
app-label-diluent_mL = { $diluent }
app-label-diluent_start_mL = { $diluent }: inicio
app-label-diluent_end_mL = { $diluent }: final
app-label-temperature_C = temperatura
app-label-vessel_liquid_g = { $vessel } con líquido
app-label-pieces = piezas de { $sample }
app-label-holder_before_g = { $sample } en su navecilla
app-label-holder_after_g = navecilla, vaciada
app-label-sample_g = { $sample }
app-label-final_g = { $vessel } al final
app-label-minutes = tiempo de espera

# … y qué hacer.
app-hint-zero = Primero ponga el recipiente vacío ({ $vessel }) en la balanza y póngala a cero; pese este recipiente ({ $vessel }) con ese cero hasta el final.
app-hint-goggles = Gafas puestas.
app-hint-tare = Pese el recipiente ({ $vessel }) vacío y seco, con el número de este ensayo.
app-hint-pour = Mida cerca del objetivo, lea la escala y viértalo en el vaso. Cuenta lo que se lee.
app-hint-fillings = ¿En varios llenados? Escríbalos con + entre ellos, como en 20 + 15.
app-hint-burette-start = Llene la bureta si le queda poco, espere un momento y léala.
app-hint-burette-end = Deje caer líquido hasta cerca del objetivo, espere un momento y lea otra vez la bureta.
app-hint-temperature = Si es posible: la temperatura del líquido. Deje escurrir el termómetro en el vaso.
app-hint-liquid = Pese el vaso con lo que contiene, antes de añadir nada más.
app-hint-pieces = Tome tantas piezas ({ $sample }) como se pide y anote cuántas: { $half } para media.
app-hint-holder-before = Ponga en la navecilla una porción ({ $sample }) cerca del objetivo y pese las dos juntas.
app-hint-holder-after = Eche la muestra ({ $sample }) en el vaso abierto, poco a poco si hace espuma, y pese la navecilla con lo que quedó en ella.
app-hint-weigh-pieces = Pese las piezas juntas: cuenta su masa. No las añada todavía.
app-hint-sample = Pese una porción ({ $sample }) cerca del objetivo. No la añada todavía.
app-hint-add = Añada la muestra ({ $sample }) al vaso abierto, poco a poco si hace espuma.
app-hint-wait = Espere a que deje de burbujear y { $minutes } min más, agite con suavidad y pese el vaso.
app-hint-minutes = Si es posible: minutos desde el final del burbujeo hasta la última pesada.
app-hint-blank = En este vaso no va muestra: muestra lo que se evapora. Déjelo reposar tanto como los demás y péselo.
app-hint-sealed-tare = Péselo vacío y seco, con su cierre, un tubito para la muestra y el número de este ensayo.
app-hint-sealed-liquid = Péselo con el líquido, su cierre y el tubito, antes de añadir nada más.
app-hint-sealed-final = Gafas puestas. Ponga la muestra ({ $sample }) en el tubito y el tubito derecho en el recipiente, para que siga seca; ciérrelo y solo entonces, detrás de una pantalla, inclínelo. Déjelo reposar hasta que deje de burbujear y péselo cerrado. Solo después deje salir el gas, despacio y lejos de la cara.

# Grupos.
app-groups-address = En la mesa: abra esta dirección y escriba el código, o escanéelo.
app-groups-alone = Por ahora solo este ordenador llega a la aplicación.
app-groups-share-how = Para que los grupos anoten en sus propios dispositivos, iníciela con:
app-groups-see = Qué ven los grupos
app-groups-see-all = Cada grupo ve los resultados de la clase y la página del proyector.
app-groups-see-own = Cada grupo ve solo sus propias lecturas y resultados.
app-groups-unshare = Mostrar de nuevo a cada grupo solo lo suyo
app-groups-share = Compartir los resultados de la clase
app-groups-more = Más grupos
app-groups-how-many = ¿Cuántos grupos hay?
app-groups-make = Crear los códigos
app-groups-numbered = Se numeran; un grupo que ya existe se queda con lo que anotó.
app-groups-codes = Códigos
app-groups-square = Código QR con el que se une el grupo { $group }
app-groups-done = { $done } de { $of } vasos terminados
app-groups-of-group = del grupo { $group }
app-groups-new-code = Código nuevo
app-groups-for-group = para el grupo { $group }
app-groups-new-code-note = Un código nuevo devuelve a la primera página los dispositivos que se unieron con el anterior; lo que aún no enviaron se queda en ellos.
app-groups-sheet = Pasar una hoja
app-groups-sheet-note = Un readings.csv de un grupo que escribió en papel. Lo nuevo pasa a ser una lectura, lo distinto una corrección; no se sobrescribe nada.
app-groups-group = Grupo
app-groups-file = Hoja
app-groups-bring = Pasarla
app-groups-count = El número de grupos es un entero de 1 a { $most }.

# Planificar.
app-plan-intro = Mueva un deseo y la curva lo sigue; lo que no toque sale de la definición. En ella no se escribe nada.
app-plan-slider = { $label }, control deslizante
app-plan-total_mL = Líquido en cada vaso
app-plan-runs = Vasos en la serie
app-plan-sample_g = Muestra en cada vaso
app-plan-stock_mol_per_L = Concentración ({ $reagent })
app-plan-best = Lo más importante
app-plan-content = el contenido de la muestra
app-plan-equivalence = el punto de equivalencia
app-plan-work-out = Calcular
app-plan-as-defined = Como en la definición
app-plan-picture = Masa perdida esperada frente al reactivo vertido.
app-plan-refused = Esto no es posible.
app-being-worked-out = Calculando …
app-answer = La respuesta
app-noticed = Lo que se observó
app-plan-row = La serie
app-plan-row-table = La serie, ensayo por ensayo
app-plan-rows = Series mejores
app-plan-rows-table = Comparación de series
app-plan-care = Con qué exactitud hay que leer
app-plan-what-if = Qué pasaría si

# Preparar.
app-prepare-intro = Todo lo que se imprime antes de la clase, hecho a partir de la definición.
app-prepare-setting = Componiendo las hojas …
app-prepare-groups = Grupos que trabajan a la vez
app-prepare-balances = Balanzas en la sala
app-prepare-date = Día de la clase
app-prepare-time = Empieza a las
app-prepare-language = Idioma de las hojas
app-prepare-blank = (puede quedar en blanco)
app-prepare-paper = Papel
app-prepare-as-defined = como dice la definición
app-prepare-make = Hacer las hojas
app-prepare-print = Para imprimir
app-prepare-made = { $what }; hecho el { $day }, { $time }
app-prepare-nothing = Todavía no se ha hecho nada.
app-prepare-whole = Los grupos y las balanzas son números enteros.
app-sheet-prep-room_pdf = material, la disolución y su comprobación, tiempo, residuos, bandejas
app-sheet-hazards_pdf = peligros, el gas en la sala, primeros auxilios
app-sheet-bench-sheets_pdf = una página por cada ensayo de cada grupo
app-sheet-labels_pdf = para vasos, frascos y botes
app-sheet-handout_pdf = para el alumnado, antes de la clase
app-sheet-key_pdf = las respuestas y lo que dará cada ensayo: no para el alumnado

# Resultados, antes y después de terminar la serie.
app-results-of-group = Resultados: grupo { $group }
app-updated = Se actualiza a medida que llegan lecturas.
app-no-result = Todavía no hay resultado.
app-look-again = Mirar otra vez
app-interval = Intervalo del 95 %: { $interval }
app-interval-short = 95 %: { $interval }
app-weighed-so-far = Hasta ahora se pesaron hasta el final { $done } de { $of } vasos.
app-cups-open = Vasos sin terminar
app-next-steps = Qué hacer ahora
app-record-at-bench = Anotar en la mesa
app-nothing-odd = No se observó nada raro en las lecturas.
app-run-by-run = Ensayo por ensayo
app-readings = Las lecturas
app-instruments = Instrumentos
app-to-keep = Para guardar
app-how-far = Hasta dónde ha llegado la serie
app-next = Ahora:
app-planned = Lo que está planificado
app-in-each-cup = Qué hay en cada vaso
app-beside-plan = Comparado con el plan
app-weighed-and-read = Líquido pesado y líquido leído
app-table = { $name }, tabla
app-severity-stop = alto
app-severity-look = mirar
app-severity-note = nota
app-file-report_pdf = para imprimir o entregar
app-file-report_html = para leer en un navegador, también sin red
app-file-workbook_xlsx = cada paso del cálculo de libro como fórmula
app-file-results_csv = resultados ensayo por ensayo
app-file-readings_csv = las lecturas que cuentan, una fila por ensayo
app-handed-report_pdf = para entregar junto con los vasos
app-handed-cup-labels_pdf = para los vasos, con lo que se halló en ellos
app-handed-report_html = para leer en un navegador, también sin red
app-handed-results_csv = lo que se sabe de cada vaso
app-handed-readings_csv = las lecturas que cuentan, una fila por ensayo

# Proyector.
app-projector-title = Los puntos de la clase
app-projector-empty = Masa perdida frente al reactivo vertido; todavía no hay ningún vaso terminado.
app-projector-of = de
app-projector-cups = vasos
app-projector-cups-head = vasos
app-projector-waiting = Esperando el primer vaso.
app-projector-found = Lo que hallaron los grupos
app-projector-results = Resultados de los grupos
app-projector-group = grupo
app-projector-content = contenido
app-projector-by-model = %, modelo del vaso
app-projector-by-textbook = %, cálculo de libro
app-projector-note = Contenido de la muestra en masa, ± una incertidumbre típica. Modelo del vaso: cuenta lo que queda disuelto y lo que se va con el gas; cálculo de libro: la masa perdida se toma como el gas formado. Las barras de un punto son del 95 %; si no hay barra, queda dentro del punto. Un triángulo en el borde: un vaso fuera de la imagen, con sus valores.
app-projector-expected = mostrar lo que espera el modelo
app-projector-no-script = Esta página dibuja los puntos con un programa. Sin él, vea:

# Lo que se rechaza, y qué hacer entonces.
app-title-400 = Eso no se entendió
app-title-401 = Primero hay que unirse
app-title-403 = Sin acceso
app-title-404 = Aquí no hay nada
app-title-405 = Eso no se puede hacer aquí
app-title-413 = Demasiado grande
app-title-429 = Espere un momento
app-title-500 = La propia aplicación tiene un fallo
app-title-503 = El registro no se puede usar ahora
app-title-old-page = Esta página está anticuada
app-to-bench = A su mesa
app-to-join = Unirse al grupo
app-to-start = A la primera página
app-load-again = Vuelva a cargar la página y repítalo.
app-not-joined = Este dispositivo no se ha unido, o su sesión ha terminado.
    .do = Únase con el código del grupo. Lo que aún no se envió se queda en este dispositivo.
app-for-instructor = Esta página es para el docente.
app-of-other-group = Estas son las lecturas de otro grupo.
    .do = Abra la página de su propio grupo; vuelva a unirse si el grupo de este dispositivo ha cambiado.
app-no-such-group = Ese grupo no existe.
app-no-such-file = Ese archivo no existe.
app-no-square = No hay código que escanear, porque la aplicación no está compartida.
app-no-file = No se eligió ningún archivo.
    .do = { app-load-again }
app-group-no-text = El grupo tiene que ser un texto.
    .do = { app-load-again }
app-no-json = Esto no es JSON en UTF-8.
    .do = { app-load-again }
app-no-json-object = Esto no es un objeto JSON.
    .do = { app-load-again }
app-balance-elsewhere = La balanza está en otro sitio.
app-class-not-shared = Los resultados de la clase no están compartidos.
    .do = Vaya a sus propios resultados.
app-old-page = Esta página está anticuada, o la petición no viene de una página de esta aplicación.
    .do = { app-load-again }
app-other-host = A esta aplicación no se llega con este nombre.
    .do = Abra la dirección que muestra el terminal. Si en la sala este ordenador tiene otro nombre, inicie la aplicación con --name NAME.
app-too-large = Eso es más de lo que se puede tomar de una vez.
    .do = Envíelo por partes.
app-too-many-requests = Llegaron demasiadas peticiones a la vez.
    .do = Espere 2 segundos e inténtelo otra vez.
app-nowhere = Esta dirección no lleva a ninguna parte.
app-wrong-method = Esta dirección no acepta eso.
app-not-understood = Eso no se entendió.
app-found-allowed = { $where }: hallado { $found }; permitido: { $allowed }.
app-record-at = El registro { $record }: { $reason }.
    .do = Envíelo otra vez.
app-cannot-write-at = { $path } no se puede escribir: { $reason }.
    .do = Envíelo otra vez.
app-record-down = Ahora el registro no puede recibir ni mostrar lecturas.
    .do = Avise a la persona responsable. Siga anotando en la mesa: las lecturas esperan en este dispositivo.
app-cannot-write = Esto no se puede escribir ahora.
    .do = Avise a la persona responsable. Siga anotando en la mesa: las lecturas esperan en este dispositivo.
app-fault = La aplicación cometió un error (código { $code }). Lo que se confirmó está a salvo.
    .do = Inténtelo otra vez. Si vuelve a pasar, reinicie la aplicación y diga el código a quien la mantiene: junto al experimento hay un informe.
