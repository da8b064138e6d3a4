# Lo que vieron las comprobaciones. La clave es el código del hallazgo; `.do` dice qué hacer ahora.
# Delante de los hallazgos sobre un ensayo va «Ensayo 3:».

## Lecturas sueltas

run-missing = planeado, pero no hay lecturas de él.
    .do = Hacer este ensayo mientras todo siga montado, o quitarlo del plan.
run-not-planned = hay lecturas de él, pero no está en el plan.
    .do = Nada, si se añadió en la mesa. Si no, comprobar el nombre del ensayo.
reading-missing = sin leer: { NAME("quantity", $quantity) }.
    .do = Leerlo ahora si el vaso sigue ahí. Si no, dejarlo en blanco.
reading-impossible = { $why ->
    [too-low] «{ NAME("quantity", $quantity) }»: está anotado { READING($typed, $quantity) }, y eso es imposible.
   *[too-much] «{ NAME("quantity", $quantity) }»: está anotado { READING($typed, $quantity) }, más de lo que cabe en el vaso entero ({ $vessel }, { SIG($capacity_mL, unit: "mL") }).
    }
    .do = { $why ->
    [too-low] Mirar otra vez la hoja: un signo o una cifra está mal.
   *[too-much] Mirar otra vez la hoja: una cifra o la coma está mal. O corregir capacity_mL en la tabla [vessel] de la definición.
    }
liquid-below-tare = el vaso con el líquido no pesa más que el vaso vacío.
    .do = Pesar otra vez el vaso. ¿Se puso la balanza a cero con el vaso encima?
final-above-start = al final el vaso pesa { SIG($gained_g, unit: "g") } más que todo lo que se puso en él.
    .do = Pesarlo otra vez. Puede haber una cifra mal, o es el vaso de otro ensayo.
lost-more-than-sample = se perdieron { SIG($lost_g, unit: "g") }. Es más que toda la muestra, de { SIG($sample_g, unit: "g") }, y más que todo el gas y el agua que podían salir ({ SIG($left_g, digits: 2, unit: "g") }).
    .do = ¿Se derramó algo? Pesar otra vez el vaso y comprobar las cifras de las cuatro masas.
unit-mixed-up = { $kind ->
    [temperature] { READING($typed, $quantity) } no es una temperatura de sala.
   *[other] «{ NAME("quantity", $quantity) }»: está anotado { READING($typed, $quantity) }, unas mil veces { $was ->
        [smaller] más
       *[larger] menos
    } de lo pedido.
    }
    .do = { $kind ->
    [temperature] ¿Se leyó en { $was ->
        [fahrenheit] °F
       *[kelvin] K
    }? Serían { FIX($would_be_C, decimals: 1, unit: "°C") }. Anotarla en °C.
    [mass] ¿Se leyó en { $was ->
        [smaller] miligramos
       *[larger] kilogramos
    }? Anotarla en g.
   *[volume] ¿Se leyó en { $was ->
        [smaller] microlitros
       *[larger] litros
    }? Anotarlo en mL.
    }
temperature-odd = { READING($typed, $quantity) } no es una temperatura de sala.
    .do = Anotar la temperatura en °C.
not-readable = { READING($typed, $quantity) } no se puede leer en el instrumento ({ $instrument }); su paso más fino es { SIG($finest_step) }.
    .do = Anotar lo que se vio y nada más fino, o corregir el instrumento en la definición.
read-often = «{ NAME("quantity", $quantity) }» se leyó { $times } veces. Para todas vale la del medio, { READING($typed, $quantity) }.
    .do = Nada, si de verdad se leyó tantas veces. Si no, retirar las entradas que no son lecturas.
above-capacity = { $capacity ->
    [balance] { READING($typed, $quantity) } es más de lo que puede marcar la balanza ({ $instrument }): { SIG($capacity_g, unit: "g") }.
   *[ware] { READING($typed, $quantity) } es más de lo que cabe en el instrumento ({ $instrument }): { SIG($capacity_mL, unit: "mL") }.
    }
    .do = { $capacity ->
    [balance] Mirar otra vez la hoja: una cifra o la coma está mal. O corregir capacity_g en la definición.
   *[ware] Si se vertió en varias veces, anotarlas con + entre ellas, como 20 + 15: cada una se lee de nuevo y deja líquido. Si no, comprobar las cifras.
    }

## Lecturas hechas de otras

parts-disagree = «{ NAME("quantity", $quantity) }»: está anotado { READING($typed, $quantity) }, pero «{ NAME("quantity", $more) }» y «{ NAME("quantity", $less) }» difieren en { SIG($differ_by, digits: 4) } { $unit }. Vale lo anotado.
    .do = Mirar la hoja: uno de los tres números está mal. Dejar en blanco uno de los dos caminos.
fillings-incomplete = { $starts ->
    [one] una lectura al principio de un llenado
   *[other] { $starts } lecturas al principio de un llenado
    }, pero { $ends } al final. Cada llenado necesita las dos.
    .do = Anotar las dos lecturas de cada llenado: los principios en una columna con + entre ellos, los finales en la otra.
pieces-disagree = { $n ->
    [one] { SIG($pieces) } pieza debería
   *[other] { SIG($pieces) } piezas deberían
    } pesar unos { SIG($should_g, unit: "g") }, pero la muestra pesa { SIG($sample_g, digits: 4, unit: "g") }. Vale la masa.
    .do = Contar otra vez las piezas y pesarlas otra vez mientras la porción siga ahí.

## La hoja entera

asked-off-by-ten = Todas las porciones de la muestra pesan más o menos { $times ->
    [thousandth] una milésima de lo que
    [hundredth] una centésima de lo que
    [tenth] una décima de lo que
    [ten] 10 veces lo que
    [hundred] 100 veces lo que
   *[thousand] 1000 veces lo que
    } pide la definición ({ $key } en [{ $table }]: { SIG($asked_g, digits: 4, unit: "g") }{ $in_row ->
    [yes] {" "}para la porción mayor, y las demás en proporción
   *[no] {""}
    }). El punto de equivalencia se da para la masa pedida, así que estaría mal en el mismo factor.
    .do = ¿Se quería decir { SIG($meant_g, digits: 4, unit: "g") }? Entonces corregir { $key } en la definición. Si las porciones están mal, corregir su columna.
mass-kept = pesado en un recipiente cerrado, y su masa no cambió: varió { PM($change_g, $u_g, unit: "g") }. Balanza y lecturas coinciden en que no desaparece nada.
    .do = Nada: para eso se pesa en un recipiente cerrado.
mass-not-kept = pesado en un recipiente cerrado, y aun así su masa varió { PM($change_g, $u_g, unit: "g") }: { $lost ->
    [yes] el recipiente no cierra bien, o una lectura está mal.
   *[no] una lectura está mal.
    }
    .do = ¿Estaba el cierre puesto en todas las pesadas? { $lost ->
    [yes] Escuchar y buscar burbujas en el cierre; no apretarlo bajo presión. Pesarlo
   *[no] Pesarlo
    } otra vez y comprobar las cifras de todas sus masas.
titres-apart = Las valoraciones de la disolución madre difieren en { SIG($apart_mL, digits: 2, unit: "mL") } ({ $titres_mL } mL), más de lo que permite una bureta leída con cuidado. La incertidumbre de la disolución madre ha crecido con ello, y la media puede estar aún más desviada.
    .do = Mirar donde se anotaron por primera vez: ¿se leyó mal una división, se intercambiaron dos cifras? Valorar una vez más, y no poner en titrant_mL una primera valoración aproximada.
titre = { SIG($titre_mL, digits: 4) }
minutes-not-read = nadie anotó cuánto tiempo { $cups ->
    [one] estuvo un vaso
   *[other] estuvieron { $cups } vasos
    } antes de la última pesada. Se suponen { SIG($minutes) } minutos, { $said ->
    [yes] como dice la definición
   *[no] como es habitual
    }, con ± { PERCENT($u_relative, digits: 2) }. Solo eso añade ± { SIG($points, digits: 2) } puntos porcentuales a la incertidumbre del contenido.
    .do = Anotar los minutos desde el final de la efervescencia hasta la última pesada, si alguien los recuerda. La próxima vez, apuntar las dos horas.

## La serie en conjunto

chemistry-unknown = Aquí no se sabe cuánto { $gas } queda en el líquido cuando { $analyte } reacciona con { $reagent }. Por eso ni el modelo completo ni el cálculo del libro de texto pueden decir qué contiene la muestra; la serie puede mostrar de todos modos el reactivo limitante.
    .do = Tomar un carbonato y un ácido que se conozcan aquí (están en docs/model.md), o medir el volumen del gas y usar esta serie solo para mostrar el reactivo limitante.
strength-without-uncertainty = La definición no dice con qué exactitud se conoce la concentración de la disolución madre, así que la respuesta parece más segura de lo que es.
    .do = Añadir relative_u o tolerance_percent en [reagent.strength].
no-change-over = { $then ->
    [model] El cálculo del libro de texto no tiene resultado: { $because }. La respuesta se apoya solo en el modelo completo.
   *[nothing] La serie no muestra ningún punto de equivalencia, así que no dice qué contiene la muestra: { $because }.
    }
    .do = { $then ->
    [model] Tomar las lecturas que faltan si los vasos siguen ahí. La próxima vez, procurar que haya al menos tres ensayos a cada lado del punto de equivalencia.
   *[nothing] Añadir ensayos con menos y con más { $grows ->
        [reagent] reactivo
       *[sample] muestra
    }, de modo que haya al menos tres a cada lado.
    }
content-open = { $because }.{ $lines ->
    [yes] {" "}Dos rectas por las masas perdidas darían un contenido de todos modos, pero aquí el cálculo del libro de texto tampoco es una respuesta.
   *[no] {""}
    }
    .do = Hacer lo que se dice arriba y repetir la serie.
no-full-result = El modelo completo no se pudo ajustar a esta serie: { $because }.
    .do = { $usual_too ->
    [yes] Aclarar primero lo que se dice de la serie.
   *[no] Usar el cálculo del libro de texto, sin olvidar lo que deja fuera.
    }
scatter = Las lecturas se dispersan alrededor de las dos rectas { FIX($factor, decimals: 1) } veces lo que explican los instrumentos. Las incertidumbres del cálculo del libro de texto se amplían en ese factor.
    .do = Mirar los ensayos más alejados de las rectas, primero el ensayo { $farthest_run }.
two-lines-not-best = { $shape ->
    [straight-line] Una sola recta
    [through-origin] Una recta por el origen
   *[quadratic] Una parábola
    } describe la serie mejor que dos rectas (el criterio de Akaike es { FIX($lower_by, decimals: 0) } menor), así que el punto de equivalencia del cálculo del libro de texto no se ve bien.
    .do = Añadir ensayos cerca del punto de equivalencia y bastante más allá.
content-above-one = El contenido resulta { PERCENT($mass_fraction) }, más que toda la muestra.
    .do = Comprobar las masas, la ecuación y qué producto sale. ¿Se pierde algo más que gas?
textbook-above-one = El cálculo del libro de texto resulta { PERCENT($mass_fraction) }, más que toda la muestra. Toma por gas todo lo que pierde un vaso, pero aquí salieron de cada vaso { FIX($water_g, decimals: 3, unit: "g") } de agua como vapor o por evaporación, { $gas_in_cup ->
    [kept] mientras se quedaron { FIX($kept_g, decimals: 3, unit: "g") } de gas
   *[lighter] y el gas que aún contenía, más ligero que el aire que desplazó, quitó otros { FIX($kept_g, decimals: 3, unit: "g") } a la balanza
    }. El modelo completo cuenta las dos cosas.
    .do = Nada: la respuesta es el contenido según el modelo completo. Con porciones menores o con más líquido los vasos se calientan menos y pierden menos agua. No tapar nunca un vaso en el que se forma gas.
few-runs-on-a-side = { $runs ->
    [one] Solo hay un ensayo
   *[other] Solo hay { $runs } ensayos
    } { $side ->
    [before] antes
   *[after] después
    } del punto de equivalencia; la recta de ese lado se apoya en poco.
    .do = La próxima vez, añadir un ensayo { $side ->
    [before] antes
   *[after] después
    }.
activity-extrapolated = La disolución { $n ->
    [one] del ensayo { $beyond } es
   *[other] de los ensayos { $beyond } es
    } más concentrada de lo previsto por el modelo de actividad (fuerza iónica { SIG($reach) } mol/kg).
    .do = Fiarse del pH de ahí solo hasta unas décimas. El contenido apenas depende de ello.
doubtful-left-out = El modelo completo no usa: { EACH($named) }. { $makes_sense ->
    [yes] Halla { PERCENT($content) }; con estas lecturas tal como están hallaría { PERCENT($content_as_read) }.
   *[no] Con todas tal como están, ningún resultado tiene sentido.
    }
    .do = Aclarar los hallazgos de arriba. Una corrección devuelve la lectura al resultado.
of-run-reading = ensayo { $run }: { NAME("quantity", $quantity) }

## El ajuste del modelo completo

cup-beyond-model = el modelo completo no vale para este vaso ({ $because }), así que el resultado lo deja fuera.
    .do = Mirar sus lecturas. Si están bien, preparar la próxima vez un vaso así con menos sólido o con más líquido. Los demás vasos se usan tal como están.
model-impossible = Las lecturas y el modelo completo no pueden ser ciertos a la vez: ningún contenido se acerca a estas lecturas, ni siquiera con todo lo demás tan incierto como es.{ $n_bent ->
    [0] {""}
   *[other] {" "}Para acercarse lo que se acerca, el ajuste aparta { $bent } mucho de lo que se sabía.
    } Por eso no se da el contenido del modelo, y tampoco hay que fiarse del cálculo del libro de texto.
    .do = Aclarar primero los otros hallazgos. Después comprobar la definición: la ecuación, la concentración de la disolución madre, el ácido que aporta la propia muestra, las unidades y los tiempos.
model-misfit = Las lecturas no encajan con el modelo completo tan bien como prometen sus incertidumbres. Una de ellas puede estar mal.
    .do = Mirar las lecturas que más se apartan. Tomarlas otra vez si el vaso sigue ahí.
known-value-contradicted = Para encajar con las lecturas, { $named } tiene que ser { PM($found, $u, unit: "") } { $unit }; antes se conocía { PM($before, $before_u, unit: "") } { $unit } ({ $source }). Detrás puede esconderse otra cosa que está mal.
parameter-own_acid = el ácido de la propia muestra
check-own_acid = Escribir en [sample] lo que dice la etiqueta sobre ácido en la muestra, o own_acid = "unknown".
parameter-concentration = la concentración de la disolución madre
check-concentration = Mirar el frasco y cómo se preparó la disolución madre; medir otra vez su concentración.
parameter-scale_reagent = el error de escala del instrumento para el reactivo
check-scale_reagent = Comprobar el instrumento: pesar el agua que entrega.
parameter-scale_diluent = el error de escala del instrumento para el diluyente
check-scale_diluent = Comprobar el instrumento: pesar el agua que entrega.
parameter-hold_up_reagent = el reactivo que se queda en cada vertido
check-hold_up_reagent = ¿Se dejó escurrir el instrumento, y se enjuagó o secó entre los vertidos? Pesar lo que entrega.
parameter-hold_up_diluent = el diluyente que se queda en cada vertido
check-hold_up_diluent = ¿Se dejó escurrir el instrumento, y se enjuagó o secó entre los vertidos? Pesar lo que entrega.
parameter-gas_pressure = la presión del gas que aún contiene el líquido
check-gas_pressure = En un vaso abierto no puede estar muy por encima de la del aire. ¿Dejaron de burbujear todos los vasos y se agitaron? ¿Se disolvió todo el sólido? ¿Es correcta la concentración de la disolución madre?
parameter-degassing = la velocidad con la que el líquido perdió su gas disuelto
check-degassing = ¿Son correctos los minutos? ¿Se agitaron o removieron los vasos mientras esperaban?
parameter-head_fraction = la parte del espacio de aire que sigue llena de gas
check-head_fraction = Abanicar el gas fuera de cada vaso antes de la última pesada, y decirlo en [waiting].
parameter-evaporation = el agua que se evapora
check-evaporation = ¿Había corriente de aire, o estaba caliente el líquido? Lo enseña un vaso de agua sola pesado con los demás.
parameter-vapour_saturation = la humedad del gas que sale
check-vapour_saturation = ¿Estaba caliente el líquido, o salieron gotitas con el gas?
parameter-heat_kept = la parte del calor de reacción que se queda en el líquido
check-heat_kept = Leer la temperatura de un vaso cuando cese la efervescencia. ¿Es el sólido el que debería ser?
parameter-waiting = el tiempo de espera donde no se leyó, respecto al planeado,
check-waiting = Anotar los minutos desde el final de la efervescencia hasta la última pesada.
parameter-first_pk_shift = el primer pK del ácido carbónico
check-first_pk_shift = La química del vaso probablemente no es la que dice la definición.
parameter-activity = el gas que el líquido retiene por sus actividades, en incertidumbres típicas del modelo,
check-activity = La química del vaso probablemente no es la que dice la definición.
parameter-saturation = el ln de la saturación con el sólido que sobra
check-saturation = ¿Estaba molido, y estuvo bastante tiempo en el líquido? ¿Es el sólido el que debería ser?

## Ácido o base de la muestra

base-in-sample = La muestra toma ácido de más modos que los que dice la definición: donde limita el reactivo, salió menos { $gas } del que debía formarse. { $per_g } que tome cada gramo, como un hidróxido, un óxido u otro carbonato, explican todos los vasos, y { $would_be }. Sin eso no vale la pena dar ningún contenido, ni por el modelo completo ni por el cálculo del libro de texto.
    .do = ¿Es una mezcla (caliza con cal apagada, sosa con otro carbonato)? Escribir own_acid = "unknown" en [sample], y la serie se calcula con ello; el { $gas } de otro carbonato cuenta entonces como { $analyte }. Si la muestra no puede contener nada de eso, medir otra vez la concentración de la disolución madre y pesar de nuevo los últimos vasos.
acid-in-sample = La muestra aporta un ácido propio que la definición no conoce: { $seen }. { $per_g } de cada gramo explican todos los vasos, y { $would_be }. Sin eso no vale la pena dar ningún contenido, ni por el modelo completo ni por el cálculo del libro de texto.
    .do = Escribir own_acid = "unknown" en [sample], en lugar de cualquier otro número, y la serie se calcula con ese ácido. Mejor aún, nombrar el ácido como en la etiqueta.
protons-per-gram = { PM($value, $u) } mmol de protones
content-not-told = la serie sola no dice entonces cuál es el contenido
content-would-be = el contenido sería entonces { $content }
seen-in-low-cups = los vasos con poco reactivo perdieron más gas del que ese reactivo puede formar
seen-in-plain-water = el vaso { $run } no recibió reactivo y aun así perdió { FIX($lost_g, decimals: 3, unit: "g") }

## De dónde vienen las lecturas

record-cut = { $is_other ->
    [yes] Este no es el registro que había antes en esta carpeta, o sigue de otra manera.
   *[no] { $events ->
        [one] Falta una entrada
       *[other] Faltan { $events } entradas
    } en el registro: antes era más largo.
    } Estos resultados se apoyan en lo que queda.
    .do = ¿Se puso en su lugar una copia de seguridad? Para ver lo que se sabe: tarebook verify CARPETA. Buscar lo que falta en los aparatos y en papel, o volver a poner el archivo correcto.
definition-changed = { $entries ->
    [one] Una de { $of } entradas se registró
   *[other] { $entries } de { $of } entradas se registraron
    } con otra definición que la que es ahora experiment.toml (entrada { $at_events } del registro, SHA-256 { $was }…; ahora { $now }…).
    .do = ¿Es lo que se quería? Para obtener la última definición del registro: tarebook export CARPETA --definition ARCHIVO.
clock-set-back = El reloj del ordenador de la mesa se atrasó { $times ->
    [one] una vez
   *[other] { $times } veces
    } mientras llegaban lecturas, por primera vez antes de la entrada { $first_event } del registro. Las horas de las lecturas de antes y de después no se pueden comparar.
    .do = Los números de las entradas dicen cuál fue primero. Que el ordenador tome la hora de la red.
sheet-not-used = Estos resultados se apoyan en el registro de la mesa. readings.csv dice otra cosa y no se usa: { EACH($named) }{ $more ->
    [0] {""}
   *[other] ; y { $more } más
    }.
    .do = Introducirlo como correcciones de una persona con nombre: tarebook import CARPETA CARPETA/readings.csv --who NOMBRE. O apartarlo: tarebook export CARPETA --set-aside.
cell-differs = { $place }: { $found }{ $recorded ->
    [none] {""}
   *[other] {" "}(en el registro: { $recorded })
    }
sheet-leaves-out = Estos resultados se apoyan en el registro de la mesa. En readings.csv falta lo que cuenta en él: { EACH($named) }{ $more ->
    [0] {""}
   *[other] ; y { $more } más
    }.
    .do = Para retirarlo: tarebook import CARPETA CARPETA/readings.csv --who NOMBRE --take-back; queda tachado en el registro. Para volver a tener la hoja entera: tarebook export CARPETA --set-aside.
row-left-out = la fila del ensayo { $run }
cell-left-out = ensayo { $run }, { $column } (en el registro: { $recorded ->
    [none] una nota
   *[other] { $recorded }
    })

## Una serie de vasos llenos

row-tells-less = Tal como se vertió, la serie dará el contenido { FIX($times_less, decimals: 1) } veces menos nítido que lo planeado.
    .do = Si hay tiempo, volver a llenar los vasos que están lejos de su plan. La serie se puede usar tal como está.
volume-recovered = sin leer: { NAME("quantity", $quantity) }. Según la masa del líquido fueron { $volume }.
    .do = Dejar la celda en blanco: lo que no se leyó no es una lectura. El vaso se puede usar tal como está.
row-misses-equivalence = { $count ->
    [0] Ninguno de estos vasos está con seguridad
    [one] Solo uno de estos vasos está con seguridad
   *[other] Solo { $count } de estos vasos están con seguridad
    } { $side ->
    [before] antes
   *[after] después
    } del punto de equivalencia; hacen falta { $needed }.{ $by_plan ->
    [yes] {" "}El propio plan no tiene más.
   *[no] {""}
    }
    .do = Llenar uno o dos vasos más con { $side ->
    [before] menos
   *[after] más
    } reactivo antes de añadir ninguna muestra.
row-under-way = Todavía no hay resultado: { $finished ->
    [one] un vaso está terminado
   *[other] { $finished } vasos están terminados
    }, y { $not_finished ->
    [one] el ensayo { $open_runs } no lo está.
   *[other] los ensayos { $open_runs } no lo están.
    }
    .do = Hacerles la última pesada. Si se abandonaron, añadir en su lugar ensayos con menos y con más reactivo.
