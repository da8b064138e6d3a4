# Por qué no hay resultado, o por qué no se usa un ensayo: final de frase, sin punto.

not-known-why = la serie no da ningún resultado
out-of-range = { $name }: { SIG($value, digits: 4) }{ $unit ->
    [1] {""}
   *[other] {" "}{ $unit }
    }, permitido: { $allowed }

## El cálculo del libro de texto

too-few-for-lines = las dos rectas necesitan { $needed } ensayos utilizables y { $runs ->
    [0] no hay ninguno
    [one] hay uno
   *[other] hay { $runs }
    }
runs-alike = dos ensayos tienen casi { $grows ->
    [reagent] el mismo reactivo por gramo de muestra
   *[sample] la misma muestra por porción de reactivo
    }, de modo que no se puede trazar una recta
loss-does-not-grow = la masa perdida no crece con { $grows ->
    [reagent] el reactivo
   *[sample] la muestra
    }
one-straight-line = todos los ensayos siguen una sola recta, así que en todos limita el mismo reactivo. Añadir ensayos con menos y con más { $grows ->
    [reagent] reactivo
   *[sample] muestra
    }
no-break = las dos rectas se cortarían entre { $grows ->
    [sample] { FIX($low, decimals: 2) } y { FIX($high, decimals: 2) } g de muestra para { SIG($fixed, unit: "mL") } de reactivo
   *[reagent] { FIX($low, decimals: 1) } y { FIX($high, decimals: 1) } mL de reactivo para { SIG($fixed, unit: "g") } de muestra
    }, y menos de dos ensayos tienen { $side ->
    [left] menos
   *[right] más
    }. Añadir ensayos con { $side ->
    [left] menos
   *[right] más
    } { $grows ->
    [sample] muestra
   *[reagent] reactivo
    }
repetitions-without-point = dentro de la incertidumbre de las lecturas, { PERCENT($part, digits: 2) } de las repeticiones de esta serie no mostrarían ningún punto de equivalencia
weighed-closed = pesado en un recipiente cerrado: el gas se pesa con él, así que no está en ninguna de las rectas
before-gas = la primera mitad del ácido solo convierte carbonato en hidrogenocarbonato, así que en este vaso apenas se forma gas
stays-dissolved = tan poca muestra da poco gas y la mayor parte queda disuelta: la recta ascendente empieza después de este vaso
not-read = sin leer: { NAME("quantity", $lacking) }
cup-without-sample = un vaso sin muestra: enseña lo que se evapora
sample-read-as = para la muestra está anotado { SIG($sample_g, unit: "g") }
no-reagent-poured = no se vertió reactivo, así que este vaso no está entre los que recibieron todos la misma cantidad
no-usable-reading = no se puede usar ninguna de sus lecturas

## El modelo completo

too-few-for-model = el modelo completo necesita { $needed } ensayos utilizables y { $runs ->
    [0] no hay ninguno
    [one] hay uno
   *[other] hay { $runs }
    }
no-joint-fit = ningún ajuste del modelo se acerca lo bastante a las lecturas para elegirlo. Aclarar primero lo que se vio de raro en las lecturas y en la definición
readings-against-model = las lecturas y el modelo completo no pueden ser ciertos a la vez, así que un contenido no significaría nada
gas-kept-unknown = para esta reacción no se sabe cuánto gas queda en el líquido
columns-exchanged-withheld = dos columnas de la hoja están intercambiadas
acid-not-defined = los vasos perdieron gas que el reactivo vertido no puede haber formado; la muestra aporta, pues, un ácido que la definición no conoce
base-not-defined = donde limita el reactivo salió menos gas del que debía formar el reactivo vertido; la muestra toma, pues, ácido de un modo que la definición no conoce
open-all-used-up = las lecturas no determinan qué contiene la muestra. El reactivo se gastó en todos los ensayos, así que con más analito no cambiaría nada: añadir ensayos con más reactivo o con menos muestra
open-may-be-used-up = las lecturas no determinan qué contiene la muestra. El reactivo puede haberse gastado en todos los ensayos, incluso en los que más tenían, así que con más analito no cambiaría nada: añadir ensayos con más reactivo o con menos muestra
open-no-gas = las lecturas no determinan qué contiene la muestra. No salió gas de los vasos: lo que forma tan poca muestra queda disuelto. Tomar más muestra o menos líquido y comprobar que burbujea
open-none-fits = las lecturas no determinan qué contiene la muestra. No encaja ningún contenido entre { SIG($low) } y { SIG($high) } g/g: comprobar la concentración de la disolución madre, la reacción y las unidades de las masas
open-too-few-readings = las lecturas no determinan qué contiene la muestra. Faltan demasiadas: tomar las que aún se puedan tomar
open-too-uncertain = las lecturas no determinan qué contiene la muestra. Son demasiado inciertas: tomar cantidades mayores o instrumentos mejores
open-water-hides-gas = las lecturas no determinan qué contiene la muestra. Según el modelo completo salió más o menos tanta agua, como vapor y por evaporación, como gas, y cuánta fue no se sabe con bastante exactitud: pesar en cuanto acabe la efervescencia, hacer la reacción en más líquido para que siga frío, o medir el volumen del gas
