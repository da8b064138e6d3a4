# Lo que dicen los programas de las páginas. Cada página trae este archivo, para que las palabras
# estén también sin red; las lee el intérprete de Fluent para navegadores (web/static/bench/words.js).

# Cómo va con el servidor.
pad-must-join = { $device ->
    [phone] Este teléfono tiene que volver a unirse.
    [tablet] Esta tableta tiene que volver a unirse.
   *[computer] Este ordenador tiene que volver a unirse.
    }
pad-joined-elsewhere = { $device ->
    [phone] Este teléfono se ha unido a otro grupo.
    [tablet] Esta tableta se ha unido a otro grupo.
   *[computer] Este ordenador se ha unido a otro grupo.
    }
pad-page-old = Esta página está anticuada: vuelva a cargarla.
pad-record-replaced = El registro no es el que recibió las lecturas: avise al docente y siga anotando.
pad-offline = Sin conexión. Siga anotando.
pad-server-busy = El servidor está ocupado y tomará las lecturas en un momento.
pad-looking = Buscando el servidor …
pad-sending = Enviando.
pad-all-sent = Todo está enviado.
pad-waiting = { $n ->
    [one] { $n } lectura espera { $device ->
        [phone] en este teléfono.
        [tablet] en esta tableta.
       *[computer] en este ordenador.
        }
   *[other] { $n } lecturas esperan { $device ->
        [phone] en este teléfono.
        [tablet] en esta tableta.
       *[computer] en este ordenador.
        }
    }
pad-keeps-nothing = Este navegador no guarda nada: deje la página abierta.

# Lo que no se pudo enviar.
pad-of-other-experiment = { $n ->
    [one] { $n } lectura de otro experimento, { $titles }, { $device ->
        [phone] en este teléfono.
        [tablet] en esta tableta.
       *[computer] en este ordenador.
        }
   *[other] { $n } lecturas de otro experimento, { $titles }, { $device ->
        [phone] en este teléfono.
        [tablet] en esta tableta.
       *[computer] en este ordenador.
        }
    }
pad-sent-when-open = Se enviarán cuando ese experimento esté abierto en esta dirección.
pad-adopt = Son de aquí: enviarlas
pad-of-other-group = { $n ->
    [one] { $n } lectura del grupo { $group } { $device ->
        [phone] en este teléfono.
        [tablet] en esta tableta.
       *[computer] en este ordenador.
        }
   *[other] { $n } lecturas del grupo { $group } { $device ->
        [phone] en este teléfono.
        [tablet] en esta tableta.
       *[computer] en este ordenador.
        }
    }
pad-sent-when-joined = Se enviarán cuando vuelva a unirse al grupo { $group }.
pad-not-recorded-label = No anotado
pad-not-recorded = No anotado: ensayo { $run }, { $what }, { $value }.
pad-taking-back = retirada
pad-forget = Descartar
pad-forget-sure = Sí, descartar { $value }
pad-forget-not = No, conservar
pad-type-again = Escribir de nuevo

# Ensayos.
pad-run = Ensayo { $run }
pad-run-here = Ensayo { $run }.
pad-run-of = Ensayo { $run } de { $n }
pad-run-link = ensayo { $run }
pad-run-progress = Ensayo { $run }: { $done } de { $of } anotadas
pad-run-asks = hay una pregunta abierta
pad-run-not-sent = falta algo por enviar
pad-questions-in = { $n ->
    [one] Hay una pregunta abierta en el
   *[other] Hay preguntas abiertas en el
    }
pad-questions-in-runs = { $n ->
    [one] Hay una pregunta abierta en el ensayo { $runs }.
   *[other] Hay preguntas abiertas en los ensayos { $runs }.
    }
pad-sheet-of-other-group = Esta hoja es del grupo { $group }; este es el grupo { $own }.
pad-no-such-run = En esta serie no hay ningún ensayo { $run }.
pad-no-such-run-here = En esta serie no hay ningún ensayo { $run }: este es el ensayo { $here }.
pad-sheet-is-older = Esta hoja se imprimió antes de cambiar la definición: valen los objetivos que se muestran aquí.

# El panel.
pad-run-complete = El ensayo { $run } está completo
pad-second-of = Segunda lectura: { $what }
pad-again-of = Leer de nuevo: { $what }
pad-change-of = Cambiar: { $what }
pad-scan-sheet = escanee una hoja
pad-code-of-sheet = Código de una hoja
pad-in-unit = { $what }, en { $unit }
pad-now = ahora
pad-target = objetivo
pad-target-is = objetivo { $target }
pad-expected-is = se espera { $range }
pad-with-instrument = instrumento: { $instrument }
pad-in-it = { $amount } dentro
pad-range = { $low } a { $high }
pad-go-to-run = Ir al ensayo { $run }
pad-see-results = Ver los resultados
pad-run-recorded = Este ensayo está anotado por completo.
pad-series-recorded = La serie está anotada por completo.
pad-balance-shows = La balanza muestra { $value }.
pad-why = { $change }. ¿Por qué?
pad-change = { $before } → { $after }
pad-is-taken-back = { $value } se retira
pad-type-first = Escriba primero lo que muestra el instrumento.
pad-is-complete = Este ensayo está completo. Para cambiar un valor, elíjalo en la hoja.
pad-took-back = Retirado: { $value }, { $what }. Sigue a la vista, tachado.
pad-kept-next = Anotado: { $value }, { $what }. Sigue: { $next }.
pad-kept-next-target = Anotado: { $value }, { $what }. Sigue: { $next }, objetivo { $target }.
pad-kept-last = Anotado: { $value }, { $what }. El ensayo { $run } está completo.
pad-enter-goes-on = Con Intro se pasa al ensayo { $run }.
pad-kept = Conservado: { $value }.
pad-counts-now = { $value } cuenta; el otro valor sigue a la vista, tachado.
pad-reason-chosen = de dos lecturas cuenta { $value }
pad-not-kept = { $device ->
    [phone] No se guardó: el teléfono no pudo escribirlo ({ $why }). Pulse «Anotar» otra vez y apúntelo en papel.
    [tablet] No se guardó: la tableta no pudo escribirlo ({ $why }). Pulse «Anotar» otra vez y apúntelo en papel.
   *[computer] No se guardó: el ordenador no pudo escribirlo ({ $why }). Pulse «Anotar» otra vez y apúntelo en papel.
    }

# La hoja de un ensayo.
pad-if-you-can = si es posible
pad-record-now = { $what }: anotar ahora
pad-value-of = { $what }:
pad-not-sent-yet = aún no enviado
pad-change-it = – cambiar
pad-no-longer-counts = Ya no cuenta:
pad-replaced = sustituido
pad-taken-back = retirado
pad-reason-read-again = leído de nuevo
pad-reason-typed-wrongly = mal escrito
pad-reason-other-cup = es de otro vaso
pad-question-about = Una pregunta sobre { $what }
pad-keep-value = Conservar { $value }
pad-read-again = Leer de nuevo
pad-recorded-often = { $n ->
    [2] { $what } se anotó dos veces, en dispositivos que no sabían uno del otro.
   *[other] { $what } se anotó { $n } veces, en dispositivos que no sabían unos de otros.
    }
pad-all-count = Hasta que alguien elija, cuentan todas.
pad-choose-which = Elija en la hoja cuál cuenta.
pad-keep-or-again = Consérvelo o lea de nuevo.
pad-readings-of = { $n ->
    [one] { $n } lectura de { $what }
   *[other] { $n } lecturas de { $what }
    }
pad-this-counts = { $value } cuenta
pad-this-device = { $device ->
    [phone] este teléfono
    [tablet] esta tableta
   *[computer] este ordenador
    }
pad-check-follows = La comprobación completa viene cuando el servidor lo tenga todo.
pad-unexpected = { $value } está fuera de lo esperado: { $range }.
pad-look-again = Mire otra vez mientras esté ahí.
pad-look-again-waits = Mire otra vez mientras esté ahí. La comprobación completa viene cuando responda el servidor.

# Números tal como se escriben.
pad-filling-sign = Un llenado es un volumen propio: no lleva signo.
pad-not-a-number = «{ $typed }» no es un número. Use cifras y una sola coma o punto decimal.
pad-other-unit = Esto se lee en { $unit }; «{ $typed }» es otra cosa.
pad-other-than-pieces = Aquí va un número de piezas; «{ $typed }» es otra cosa.
pad-too-large = Ninguna balanza ni vaso muestra «{ $typed }». Mire otra vez las cifras.

# Resultados, proyector, plan.
pad-no-answer = El servidor no responde; se vuelve a intentar.
pad-no-answer-now = El servidor no responde.
pad-working = Calculando …
pad-updated = Se actualiza a medida que llegan lecturas.
pad-group = grupo { $group }
pad-expected-band = esperado por el modelo, con su banda del 95 %
pad-mass-lost = masa perdida / g
pad-mass-lost-expected = masa perdida esperada / g
pad-class-picture = { $grows ->
    [sample] Masa perdida frente a la muestra: { $n } puntos de { $groups } grupos.
   *[reagent] Masa perdida frente al reactivo vertido: { $n } puntos de { $groups } grupos.
    }
pad-points-appear = Los puntos aparecen a medida que se pesan los vasos.
pad-point-at = { $whose } en { $along }, { $lost }
pad-axis = { $grows ->
    [sample] muestra / g
   *[reagent] reactivo vertido / mL
    }
pad-equivalence-at = punto de equivalencia { $at }
pad-limits = { $what ->
    [sample] limita la muestra
    [acid] limita el ácido
   *[reagent] limita el reactivo
    }
pad-plan-about = { $n ->
    [one] { $n } vaso; el punto de equivalencia se espera en { $at } ({ $low } a { $high }).
   *[other] { $n } vasos; el punto de equivalencia se espera en { $at } ({ $low } a { $high }).
    }
pad-plan-about-none = { $n ->
    [one] { $n } vaso; el ácido propio de la muestra quizá baste para todo.
   *[other] { $n } vasos; el ácido propio de la muestra quizá baste para todo.
    }
pad-plan-key = { $acid ->
    [acid] La banda contiene 95 de cada 100 vasos así, con todo lo que es incierto de antemano. Círculo: limita el ácido; cuadrado: la muestra; rombo: no es seguro.
   *[reagent] La banda contiene 95 de cada 100 vasos así, con todo lo que es incierto de antemano. Círculo: limita el reactivo; cuadrado: la muestra; rombo: no es seguro.
    }
pad-plan-picture = { $grows ->
    [sample] Masa perdida esperada frente a la muestra.
   *[reagent] Masa perdida esperada frente al reactivo vertido.
    }
pad-plan-failed = El plan no se pudo calcular ahora. Pulse «Calcular» para intentarlo otra vez.
