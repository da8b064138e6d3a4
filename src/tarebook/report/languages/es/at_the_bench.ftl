# Lo que se dice de un vaso mientras está en la mesa.

outside-expected = «{ NAME("quantity", $quantity) }»: está anotado { READING($typed, $quantity) }; se esperaba { RANGE($low, $high, $quantity) }.
from-to = de { $low } a { $high }
would-fit = { $kind ->
    [digits-swapped] Con dos cifras intercambiadas
    [point-shifted] Con la coma corrida
    [other-unit] En otra unidad
   *[digit-wrong] Con otra cifra
    } encajaría: { READING($typed, $quantity) }. { $now }
read-again = { $quantity ->
    [reagent_mL] Leer otra vez la escala si el líquido sigue dentro. Si no, comparar con la pesada siguiente.
    [diluent_mL] Leer otra vez la escala si el líquido sigue dentro. Si no, comparar con la pesada siguiente.
    [vessel_liquid_g] Ponerlo otra vez en la balanza y mirar de nuevo los dos volúmenes.
    [sample_g] ¿Está la balanza a cero con la navecilla vacía encima? Pesar otra vez la porción.
    [final_g] Ponerlo otra vez en la balanza. ¿Es el vaso de este ensayo? ¿Sigue burbujeando? ¿Ha salpicado algo fuera?
   *[other] Leerlo otra vez.
    }
liquid-meaning = en el vaso hay { FIX($weighed_g, decimals: 2, unit: "g") } de líquido según la masa y { FIX($by_volume_g, decimals: 2, unit: "g") } según los volúmenes: { FIX($apart_g, decimals: 2, unit: "g") } { $way ->
    [less] menos
   *[more] más
    } según la masa. Cada vez que se vierte queda algo de líquido en la probeta; lo normal es { FIX($left_g, decimals: 2) } ± { FIX($left_u_g, decimals: 2, unit: "g") }.
loss-meaning = Han salido del vaso { FIX($lost_g, decimals: 3, unit: "g") }.{ $expected ->
    [yes] {" "}Se esperaba de { FIX($least_g, decimals: 3) } a { FIX($most_g, decimals: 3, unit: "g") }.
   *[no] {""}
    }
two-readings = «{ $column }» se registró dos veces ({ $values }), en dos aparatos que no sabían el uno del otro.
    .do = Se conservan las dos y cuenta su media. Si una está mal, retirarla e indicar el motivo.
taken-back = retirada
too-many-entries = tiene { $n_entries } entradas. Un ensayo con más de { $most } no se comprueba en la mesa y solo se muestran las últimas { $most }. Todas se conservan y cuentan.
    .do = ¿Hay algo que envía por su cuenta? Para otro vaso, usar otro ensayo.
