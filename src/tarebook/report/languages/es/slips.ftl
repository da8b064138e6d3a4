# Descuidos: lecturas y vasos que no encajan con los demás, y qué hacer con ellos.
# Delante de lo que se dice de un ensayo va «Ensayo 3:».

## Qué pasó, como frase: «Lo más probable: hay dos cifras intercambiadas.»

slip-kind-digit-wrong = una cifra está mal
slip-kind-digits-swapped = hay dos cifras intercambiadas
slip-kind-digit-extra = sobra una cifra
slip-kind-digit-missing = falta una cifra
slip-kind-point-shifted = la coma está en un lugar equivocado
slip-kind-other-unit = se anotó en otra unidad
slip-kind-line-misread = se leyó otra división de la escala
slip-kind-meniscus-edge = se leyó el borde superior del menisco
slip-kind-target-written = se anotó el número pedido, no el leído
slip-kind-copied = se copió de otro ensayo
slip-kind-not-zeroed = la balanza no estaba a cero, o había otra cosa encima
slip-kind-tare-subtracted = ya se había restado el vaso vacío
slip-kind-liquids-exchanged = en el vaso se intercambiaron el reactivo y { $diluent }
slip-kind-volumes-exchanged = en la hoja están intercambiados los volúmenes de reactivo y de { $diluent }
slip-kind-sample-missing = la muestra no se añadió nunca
slip-kind-sample-twice = la muestra se añadió dos veces
slip-kind-sample-lost = parte de la muestra no llegó al vaso
slip-kind-liquid-lost = salpicó o goteó líquido fuera antes de la última pesada
slip-kind-weighed-early = el vaso se pesó mientras aún burbujeaba
slip-kind-weighed-late = el vaso estuvo mucho más tiempo del anotado antes de la última pesada
slip-kind-other-stock = el reactivo de este vaso tenía otra concentración
slip-kind-runs-exchanged = las lecturas de dos ensayos están intercambiadas
slip-kind-column-shifted = una columna está anotada una fila más allá
slip-kind-other-stock-throughout = la disolución madre tiene otra concentración que la de la definición
slip-kind-portions-off-throughout = todas las porciones se anotaron con la misma masa de más o de menos
slip-kind-weighings-off-throughout = todas las pesadas de una clase están desviadas en la misma masa
slip-kind-liquids-exchanged-throughout = el reactivo y { $diluent } están intercambiados en todos los ensayos
slip-kind-weighed-early-throughout = todos los vasos se pesaron mientras aún burbujeaban
slip-kind-balance-scale-off = la balanza marca de más o de menos, en un factor fijo
slip-kind-unknown = pasó algo que no conocemos

## Partes de frases

slip-then = { $first } { $then }
slip-written = { READING($typed, $quantity) }
slip-written-mean = { READING($typed, $quantity) } (media)
slip-number = { NAME("quantity", $quantity) }: está anotado { $written }, pero { READING($meant, $quantity) } encajaría con las demás lecturas. { $likely ->
    [yes] Lo más probable:
   *[no] Quizá:
    }
slip-off = { NAME("quantity", $quantity) }: está anotado { $written }. Son { READING($off, $quantity) } { $side ->
    [more] más
   *[less] menos
    } de lo que dicen las demás lecturas
slip-loss = { $side ->
    [unseen] parece
    [more] se perdieron unos { SIG($gap_g, digits: 2, unit: "g") } más de lo esperado,
   *[less] se perdieron unos { SIG($gap_g, digits: 2, unit: "g") } menos de lo esperado,
    }

## Un número

slip-digit-wrong = { slip-number } { slip-kind-digit-wrong }.
slip-digits-swapped = { slip-number } { slip-kind-digits-swapped }.
slip-digit-extra = { slip-number } { slip-kind-digit-extra }.
slip-digit-missing = { slip-number } { slip-kind-digit-missing }.
slip-point-shifted = { slip-number } { slip-kind-point-shifted }.
slip-other-unit = { slip-number } { slip-kind-other-unit }.
slip-now-digit-wrong = Mirar donde se anotó el número por primera vez, o en el instrumento ({ $quantity ->
    [temperature_C] termómetro
   *[other] { $instrument }
    }) si aún lo muestra. Si era { READING($meant, $quantity) }, introducirlo como corrección.
slip-now-digits-swapped = { slip-now-digit-wrong }
slip-now-digit-extra = { slip-now-digit-wrong }
slip-now-digit-missing = { slip-now-digit-wrong }
slip-now-point-shifted = { slip-now-digit-wrong }
slip-now-other-unit = { slip-now-digit-wrong }

slip-line-misread = { slip-number } { slip-kind-line-misread }.
slip-meniscus-edge = { slip-number } { slip-kind-meniscus-edge }.
slip-now-line-misread = Si el instrumento ({ $instrument }) aún lo muestra, leerlo otra vez: a la altura de los ojos, en el fondo del menisco, contando las divisiones. Si es { READING($meant, $quantity) }, introducirlo como corrección. Si el líquido ya se vertió, dejar el número y escribir una nota.
slip-now-meniscus-edge = { slip-now-line-misread }

slip-target-written = { NAME("quantity", $quantity) }: está anotado { $written }, justo lo que se pedía, pero según las demás lecturas serían unos { READING($should_be, $quantity) }.
slip-copied = { NAME("quantity", $quantity) }: está anotado { $written }, el mismo número que en el ensayo { $same_as }, pero según las demás lecturas serían unos { READING($should_be, $quantity) }.
slip-now-target-written = Preguntar a quien lo tomó si el número se leyó o solo se anotó. Si no se leyó, retirarlo o introducir lo que se leyó como corrección.
slip-now-copied = { slip-now-target-written }

slip-not-zeroed = { slip-off }. Quizá la balanza no estaba a cero, o { $side ->
    [more] había otra cosa encima.
   *[less] se puso a cero con algo encima.
    }
slip-now-not-zeroed = { $quantity ->
    [sample_g] ¿Estaba también la navecilla en la balanza, o la balanza no estaba a cero? Si la navecilla sigue ahí, pesarla e introducir como corrección la masa de la muestra sola.
   *[other] Mientras el vaso siga ahí: vaciar el plato, poner la balanza a cero, pesar otra vez e introducir la lectura nueva como corrección. Si el vaso ya no está, dejar el número y escribir una nota.
    }
slip-tare-subtracted = { NAME("quantity", $quantity) }: está anotado { $written }. Sumando el vaso vacío encajaría con las demás lecturas, como si el vaso vacío ya se hubiera restado.
slip-now-tare-subtracted = Si es así, introducir como corrección lo que marcó la balanza con el vaso: unos { READING($meant, $quantity) }.

## Un vaso entero

slip-liquids-exchanged = las masas encajan si es cierto esto: { slip-kind-liquids-exchanged }.
slip-now-liquids-exchanged = Preguntar quién vertió cada líquido. Si se intercambiaron, introducir cada volumen en el líquido que fue de verdad, como correcciones. Repetir este ensayo si hay tiempo.
slip-volumes-exchanged = las masas encajan si es cierto esto: { slip-kind-volumes-exchanged }.
slip-now-volumes-exchanged = Mirar donde se anotaron los dos números por primera vez. Si están intercambiados, introducir los dos como correcciones.
slip-sample-missing = { slip-loss } como si la muestra no se hubiera añadido nunca.
slip-now-sample-missing = ¿Sigue la muestra pesada en su navecilla? Si es así, añadirla ahora, esperar y pesar otra vez el vaso.
slip-sample-twice = { slip-loss } como si se hubieran añadido dos porciones de la muestra.
slip-now-sample-twice = Preguntar quién añadió la muestra. Si fueron dos porciones, escribir una nota. Repetir este ensayo si hay tiempo.
slip-sample-lost = { slip-loss } como si parte de la muestra no hubiera llegado al vaso.
slip-now-sample-lost = Buscar sólido en la navecilla, en la pared del vaso y en la mesa. Pesar lo que queda en la navecilla e introducir la diferencia como corrección.
slip-liquid-lost = { slip-loss } como si hubiera salpicado o goteado líquido antes de la última pesada.
slip-now-liquid-lost = Buscar gotas en la mesa, en la balanza y por fuera del vaso. El líquido perdido no vuelve: escribir una nota. Añadir la muestra siguiente en cantidades más pequeñas, para que no salpique.
slip-weighed-early = { slip-loss } como si el vaso se hubiera pesado mientras aún burbujeaba.
slip-now-weighed-early = Si el vaso sigue ahí, agitarlo hasta que no suban más burbujas, abanicar el gas hacia fuera, pesarlo otra vez e introducirlo como corrección.
slip-weighed-late = { slip-loss } como si el vaso hubiera estado horas abierto antes de la última pesada.
slip-now-weighed-late = Preguntar cuándo se pesó el vaso, y corregir el tiempo de espera si está mal.
slip-other-stock = { slip-loss } como si el reactivo de este vaso tuviera otra concentración.
slip-now-other-stock = Mirar la etiqueta del frasco con el que se llenó este vaso. ¿Se agitó el frasco después de preparar la disolución?
slip-unknown = { $about ->
    [reading] { slip-off }, y nada de lo conocido lo explica.
   *[cup] sus lecturas no encajan con las de los demás ensayos, y ningún descuido conocido lo explica por sí solo.
    }
    .do = Repasar todos los números de este ensayo donde se anotaron por primera vez, y pesar otra vez el vaso si sigue ahí. Puede que haya dos números mal o dos vasos confundidos. Si no se encuentra nada, escribir una nota.
slip-now-unknown = { $quantity ->
    [reagent_mL] Leer otra vez la escala si el líquido sigue dentro,
    [diluent_mL] Leer otra vez la escala si el líquido sigue dentro,
   *[other] Pesar otra vez ({ NAME("quantity", $quantity) }) si aún se puede,
    } y mirar donde se anotó el número por primera vez. Si ninguna de las dos cosas ayuda, dejarlo y escribir una nota.

## Qué otra cosa puede ser, y qué cambiaría

slip-alternative = { $named ->
    [yes] { NAME("quantity", $quantity) }: { $kind }
   *[no] { $kind }
    }{ $meant ->
    [none] {""}
   *[other] {" "}({ READING($meant, $quantity) })
    }
slip-also = También es posible: { EACH($kinds) }.{ $first_notes ->
    [yes] {" "}Por eso conviene mirar también donde se anotaron los números por primera vez.
   *[no] {""}
    }
slip-change-hardly = El contenido hallado apenas depende de ello.
slip-change = El contenido hallado es de unos { PERCENT($before) } tal como está, y de unos { PERCENT($after) } si esto { $how ->
    [put-right] se corrige.
   *[left-out] se deja fuera.
    }
slip-change-senseless = Tal como está, el contenido hallado no tiene sentido. Si esto { $how ->
    [put-right] se corrige,
   *[left-out] se deja fuera,
    } es de unos { PERCENT($after) }.

## Números en la fila de otro

slip-runs-exchanged = { NAME("quantity", $what) }: encajaría en la fila del ensayo { $last }, y al revés, como si los dos ensayos estuvieran intercambiados.
    .do = Comparar los nombres de los dos vasos con la hoja. Si sus lecturas ({ NAME("quantity", $what) }) están cada una en la fila del otro, introducirlas como correcciones.
slip-column-shifted = Una columna ({ NAME("quantity", $what) }) parece anotada una fila más allá desde el ensayo { $first } hasta el ensayo { $last }: devuelta una fila, encajaría.
    .do = Repasar los números ensayo por ensayo donde se anotaron por primera vez. Si la columna se corrió una fila, introducirlos de nuevo, cada uno en su fila.

## La serie entera

slip-row = La serie entera encaja con una suposición: { $first }.{ $tied ->
    [yes] {" "}Encaja igual de bien con otra: { $second }. Es una de las dos, y la serie no puede decir cuál.
   *[no] {""}
    }
slip-other-stock-throughout = { slip-row }
slip-portions-off-throughout = { slip-row }
slip-weighings-off-throughout = { slip-row }
slip-liquids-exchanged-throughout = { slip-row }
slip-weighed-early-throughout = { slip-row }
slip-balance-scale-off = { slip-row }

slip-if-other-stock-throughout = el reactivo tiene unos { SIG($size, unit: "mol/L") }, no lo que dice la definición
slip-if-portions-off-throughout = todas las porciones de la muestra se anotaron con { FIX($size, decimals: 2, unit: "g") } de { $side ->
    [heavier] más
   *[lighter] menos
    }
slip-if-weighings-off-throughout = { $mass ->
    [last] todas las masas finales
   *[empty] todas las masas de los vasos vacíos
    } se anotaron con { FIX($size, decimals: 2, unit: "g") } de { $side ->
    [heavier] más
   *[lighter] menos
    }
slip-if-liquids-exchanged-throughout = { slip-kind-liquids-exchanged-throughout }
slip-if-weighed-early-throughout = todos los vasos se pesaron cuando aún faltaba por salir { PERCENT($size, digits: 2) } de su gas
slip-if-balance-scale-off = la balanza marca { SIG($size) } veces la masa verdadera

slip-now-other-stock-throughout = Mirar la etiqueta de la disolución madre y su valoración, y corregir la concentración en la definición si está mal.
slip-now-portions-off-throughout = ¿Estaba también la navecilla o el papel en la balanza, o se puso a cero con otro? Pesarlo e introducir como corrección la masa de cada porción sola.
slip-now-weighings-off-throughout = ¿Era otra balanza, había una tapa o un agitador en el vaso, o se movió el cero? Poner otra vez un vaso vacío y compararlo con su primera masa.
slip-now-liquids-exchanged-throughout = ¿Están intercambiadas las dos columnas donde se anotaron los números por primera vez? ¿Qué líquido había en cada frasco?
slip-now-weighed-early-throughout = Si los vasos siguen ahí, agitarlos hasta que no suban más burbujas, abanicar el gas hacia fuera, pesarlos otra vez e introducirlo como correcciones.
slip-now-balance-scale-off = Poner en la balanza una pesa de masa conocida y ajustar la balanza según su manual.

slip-decide-other-stock-throughout = valorar la disolución madre
slip-decide-portions-off-throughout = pesar una navecilla vacía o un papel del mismo modo que las porciones
slip-decide-weighings-off-throughout = pesar otra vez un vaso vacío, en las dos balanzas si había dos
slip-decide-liquids-exchanged-throughout = probar los dos frascos con papel indicador
slip-decide-weighed-early-throughout = agitar un vaso, abanicar el gas hacia fuera y pesarlo otra vez
slip-decide-balance-scale-off = poner en la balanza una pesa de masa conocida

slip-chance = { $how ->
    [under] menos del { FIX($percent, decimals: 0, unit: "%") }
    [over] más del { FIX($percent, decimals: 0, unit: "%") }
   *[about] { FIX($percent, decimals: 0, unit: "%") }
    }
slip-alternative-chance = { $kind } ({ $chance })
slip-row-also = También es posible: { EACH($others) }.
slip-row-content = Contenido hallado con esa suposición: { $content }.
slip-row-decide = Para decidir: { EACH($measures) }. Hacerlo antes de fiarse de ningún contenido. En el primer caso: { $first } En el segundo caso: { $second }
slip-row-not-told-apart = También es posible: { EACH($others) }. Probabilidad de la primera explicación: { $chance }. Esta serie sola no puede distinguirlas, pero sí una de estas medidas: { EACH($measures) }. Hacerla antes de fiarse de ningún contenido.

## Lo que no se miró

slips-cut-off = { $in_doubt } ensayos son dudosos. Se buscaron descuidos en los { $weighed } que más se apartan, y dos ensayos intercambiados entre los primeros { $paired } de ellos.{ $not_weighed ->
    [0] {""}
   *[other] {" "}Sin mirar, ni a favor ni en contra: { $left }.
    }
    .do = Aclarar lo que se halló en estos ensayos y comprobar de nuevo. Si se apartan tantos, puede estar mal algo que todos comparten: la disolución madre, la balanza, la muestra.
slips-not-weighed = Las lecturas no se pudieron comparar con el modelo del vaso, así que no se buscaron descuidos: { $name } = { $value }{ $unit ->
    [none] {""}
    [degC] {" "}°C
   *[other] {" "}{ $unit }
    } está fuera de { $allowed }.
    .do = Comprobar la definición. Las comprobaciones sencillas de cada lectura siguen valiendo.

## Líquidos, vasos vacíos, columnas

odd-pour-is-real = { NAME("quantity", $quantity) }: { $written }, lejos de los { READING($target, $quantity) } pedidos, pero la masa del líquido lo confirma: se vertió de verdad.
    .do = Nada: se calcula con lo que se vertió.
liquid-mass-disagrees = el líquido pesa { FIX($by_g, decimals: 2, unit: "g") } { $side ->
    [more] más
   *[less] menos
    } de lo que dicen sus volúmenes, aun contando con los { FIX($left_behind_g, decimals: 2, unit: "g") }, más o menos, que se quedan al verter.
    .do = Mientras el vaso siga ahí: pesarlo otra vez y mirar de nuevo los dos volúmenes en la hoja. Uno de los cuatro números está mal, o se derramó algo o se vertió dos veces.
zero-not-of-this-vessel = { $n ->
    [one] el vaso vacío está anotado como 0 g, como si la balanza se hubiera puesto a cero con el vaso encima. Pero con el líquido pesa unos { SIG($vessel_g, unit: "g") } más que el líquido solo, así que también se pesó el vaso.
   *[other] Ensayos { $runs }: el vaso vacío está anotado como 0 g, como si la balanza se hubiera puesto a cero con el vaso encima. Pero con el líquido cada uno pesa unos { SIG($vessel_g, unit: "g") } más que el líquido solo, así que también se pesó el vaso.
    }
    .do = ¿Se puso la balanza a cero antes de poner el vaso, o no se pesó el vaso vacío? Pesar el vaso cuando esté vacío, limpio y seco, e introducirlo como corrección. Si ya no está, retirar el cero. Lo demás del ensayo está bien: hasta entonces el modelo completo toma el vaso vacío por no pesado.
columns-exchanged = Las columnas { $first } y { $second } parecen intercambiadas. Tal como está, la serie queda lejos del plan y de las sumas más sencillas; con esas dos columnas cambiadas, sus vasos concuerdan. El contenido sería entonces { $content }.
    .do = Comparar las dos columnas con las primeras notas. Si están intercambiadas, poner cada número donde corresponde (en la hoja basta con cambiar los dos encabezados; en la mesa, introducir correcciones) y comprobar la serie otra vez. Lo demás de esta serie no se juzgó, y hasta entonces no se da ningún resultado.
