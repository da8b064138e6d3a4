# Lo que la planificación dice de una serie: antes de verter nada, y cuando un deseo no es posible.
# La clave es el código del hallazgo; `.do` dice qué hacer ahora.

## El gas, antes que nada

gas-poisonous = El gas de esta serie, { $named }, es tóxico{ $limit_known ->
    [yes] {" "}(valor límite en el trabajo { $limit })
   *[no] {""}
    }. { $made } Sobre el vaso el gas está sin diluir.
gas-above-limit = El gas de esta serie, { $named }, supera su valor límite{ $limit_known ->
    [yes] {" "}de { $limit }
   *[no] {""}
    }. { $made }
gas-limit-unknown = El gas de esta serie es { $named }. Aquí no se conoce para él ningún valor límite en el trabajo. { $made }
gas-made = { $groups ->
    [one] Un grupo produce
   *[other] { $groups } grupos producen
    } hasta { SIG($volume_L, digits: 2, unit: "L") }; repartido en una sala de { SIG($room_m3, unit: "m³") }, es { $share } del aire.
gas-undecided = No verter nada. Solo la persona responsable puede decidir si esto se hace y dónde: por regla general en la campana extractora, como demostración o de ninguna manera. Comprobar antes las fichas de datos de seguridad y las normas locales. Las hojas para el alumnado se hacen solo cuando la definición dice quién decidió ([prepare.gas_decision]).
gas-decided = Decidido por { $by } el { $on }: { $why }. Hacerlo solo de este modo y solo con esa persona presente.
gas-burns = El gas, { $named }, es inflamable: arde en el aire a partir de { $from }.
    .do = Ni llamas, ni chispas, ni placas calefactoras en la sala{ $light ->
    [yes] . Abrir una ventana por arriba: el gas se acumula bajo el techo
   *[no] {""}
    }.
vessel-closed = { $n ->
    [one] El ensayo { $runs } se pesa
   *[other] Los ensayos { $runs } se pesan
    } en un recipiente cerrado. El gas puede llegar a { FIX($gas_kPa, decimals: 0, unit: "kPa") } por encima de la presión de la sala; el recipiente está garantizado para { SIG($rated_kPa, digits: 6, unit: "kPa") }.
    .do = { only-rated } Llevar gafas y usar una pantalla. No tomar nunca más muestra de la pedida. Dejar salir el gas despacio, después de la última pesada. Decide la persona responsable.
only-rated = No tapar nunca un recipiente de vidrio ni un vaso; cerrar solo un recipiente que el fabricante garantice para esa presión.
caution-always = Gafas puestas. El ácido sobre el agua. No cubrir ni tapar nunca un vaso en el que se forma gas. Decide la persona responsable.

gas-named = { $name } ({ $formula })
part-percent = { PERCENT($part, digits: 2) }
part-ppm = { SIG($part_ppm, unit: "ppm") }

## La serie

too-few-runs = { $n ->
    [one] Un solo ensayo
   *[other] Una serie de { $n } ensayos
    } no puede mostrar un punto de equivalencia.
    .do = Planear al menos { $fewest } ensayos, dos a cada lado del punto de equivalencia.
change-over-outside = El punto de equivalencia está en { $at }, { $side ->
    [beyond] más allá del último vaso
    [before] antes del primer vaso
    [smaller] por debajo de la porción más pequeña
   *[larger] por encima de la porción más grande
    } ({ $end }). En todos los vasos el reactivo limitante sería { $limits ->
    [reagent] el de la disolución
   *[sample] la muestra
    }.
change-over-near-edge = El punto de equivalencia puede estar entre { $low } y { $high }. { $few ->
    [0] Ningún vaso está { $there }. Con los contenidos { $limits ->
        [reagent] más altos, el reactivo
       *[sample] más bajos, la muestra
    } limitaría en todos los vasos, y la serie no mostraría ningún punto de equivalencia.
    [one] Solo un vaso está { $there }.
   *[other] Solo { $few } de los vasos están { $there }.
    }
side-beyond = más allá
side-before = antes
side-smaller = por debajo
side-larger = por encima
volume-not-readable = { $instrument }: en él no se pueden leer { $volumes } mL de { $liquid }.
    .do = Usar { $nearest } mL, o elegir una serie de la tabla de series.
ware-filled-twice = { SIG($volume_mL, unit: "mL") } de { $liquid } no caben de una vez ({ $instrument }). Hay que llenarlo { $times ->
    [2] dos veces
   *[other] { $times } veces
    }, y cada vez queda algo de líquido.
    .do = Usar uno mayor. O anotar los llenados con + entre ellos, como 20 + 15.
liquid-reagent = reactivo
liquid-diluent = agua
strength-not-sure = La definición no dice con qué exactitud se conoce la concentración de la disolución madre. El plan la toma por exacta, así que el ± esperado es demasiado pequeño.
    .do = Indicar relative_u o tolerance_percent, o valorar la disolución madre.
content-unknown = Nadie ha declarado un contenido para esta muestra, así que la serie está planeada para cualquier valor de { PERCENT($low, digits: 2) } a { PERCENT($high, digits: 2) }.
    .do = Si una etiqueta indica el contenido, ponerlo como claimed_mass_fraction. La serie puede ser entonces más estrecha.
acid-of-the-sample = { $cup ->
    [there] El ensayo { $bare } no contiene { $reagent }. El { $gas } que sale de este vaso viene solo del ácido de la muestra, y cada vertido le suma algo hasta { $up_to }.
   *[missing] La muestra aporta ácido propio. Nadie sabe cuánto, y ningún vaso lo muestra solo.
    }
    .do = { $cup ->
    [there] Conservar este vaso: ningún otro distingue el ácido de la muestra del ácido vertido.
   *[missing] Planear un vaso sin { $reagent }: el gas que sale de él es obra de ese ácido.
    }
content-stays-unsure = Después de esta serie el contenido se conocería en el mejor caso con ±{ SIG($u_content_percent, digits: 2, unit: "%") } (incertidumbre típica). Es { SIG($relative_u_percent, digits: 2, unit: "%") } del contenido esperado: { $severe ->
    [yes] la serie no puede decir cuánto contiene la muestra.
   *[no] la serie dice poco de la muestra.
    }

## En la mesa

sample-too-small-for-balance = En esta balanza ({ $balance }), una porción de { SIG($sample_g, digits: 6, unit: "g") } se conoce en el mejor caso con { PERCENT($relative, digits: 2) } (dos desviaciones típicas).
mass-lost-too-small = Ningún vaso pierde más de { SIG($largest_loss_g, digits: 2, unit: "g") }. Es solo { SIG($loss_over_u, digits: 2) } veces lo que distingue la balanza (u = { SIG($u_loss_g, digits: 2, unit: "g") }).
water-rivals-gas = En el vaso con más gas salen unos { SIG($water_mg, digits: 2, unit: "mg") } de agua, como vapor y por evaporación, junto a { SIG($gas_mg, digits: 2, unit: "mg") } de { $gas }. { $hides ->
    [yes] La masa perdida no puede decir cuánto contiene la muestra.
   *[no] El contenido es por ello menos seguro.
    }
    .do = Pesar en cuanto cese la efervescencia, usar más líquido para que siga frío, o usar un matraz de cuello estrecho. Con un gas ligero, el volumen dice más que la masa.
vessel-foams-over = { SIG($liquid_mL, unit: "mL") } de líquido y unos { SIG($foam_mL, unit: "mL") } de espuma (regla aproximada) no caben en el vaso ({ $vessel }, { SIG($capacity_mL, unit: "mL") }). Lo que rebosa se pierde y cuenta como gas.
vessel-rather-full = { SIG($liquid_mL, unit: "mL") } de líquido dejan libres solo { SIG($free_mL, unit: "mL") } en el vaso ({ $vessel }, { SIG($capacity_mL, unit: "mL") }). Lo habitual es dejar sobre el líquido tanto espacio como ocupa él.
sample-does-not-dissolve = En el vaso con menos reactivo sobran { SIG($left_g, digits: 2, unit: "g") } de { $analyte }, pero { $total } de agua disuelven solo unos { SIG($holds_g, digits: 2, unit: "g") } (a 20 °C).
balance-overloaded = El líquido y la muestra solos pesan { SIG($contents_g, unit: "g") }. La balanza ({ $balance }) no puede pesar más de { SIG($capacity_g, digits: 6, unit: "g") }.
    .do = Usar menos líquido en cada vaso, o una balanza que pueda pesar más.
empty-vessel-at-most = La balanza ({ $balance }) puede pesar hasta { SIG($capacity_g, digits: 6, unit: "g") }, así que el vaso vacío puede pesar hasta { SIG($empty_g, unit: "g") }.
    .do = Pesar un vaso vacío antes de la clase.

## Qué usar en su lugar

plan-volume = { SIG($volume_mL, unit: "mL") }
plan-volume-exact = { SIG($volume_mL, digits: 6) }
plan-portion = { SIG($sample_g, unit: "g") } de muestra
plan-balance = una balanza de { SIG($step_g, unit: "g") }
plan-use-any = Usar { ANY($ways) }.
plan-larger-amounts = más muestra con una disolución madre más concentrada en proporción
remedy-any = Usar { ANY($ways) } ({ $n ->
    [one] comprobado
   *[other] comprobado cada uno
    } con el modelo completo).
remedy-none = Ningún cambio aislado de disolución madre, muestra, serie o vaso lo arregla. Cambiar dos a la vez.
remedy-stock = { $name } de { SIG($strength_mol_per_L, digits: 6, unit: "mol/L") }
remedy-sample = { SIG($sample_g, digits: 6, unit: "g") } de muestra
remedy-sample-and-row = { SIG($sample_g, digits: 6, unit: "g") } de muestra con una serie de { SIG($first_mL, digits: 6) } a { SIG($last_mL, digits: 6, unit: "mL") }
remedy-row = una serie de { SIG($first_mL, digits: 6) } a { SIG($last_mL, digits: 6, unit: "mL") } en pasos de { SIG($step_mL, digits: 6, unit: "mL") }
remedy-vessel = un vaso de { SIG($capacity_mL, digits: 6, unit: "mL") }

upgrade-with-gain = { $what } (reduce la incertidumbre en { PERCENT($gain, digits: 2) })
upgrade-ware = { $ware }, clase A, para { $liquid }
upgrade-balance = { $balance }{ $weighs ->
    [cups] {" "}para los vasos
    [sample] {" "}para la muestra
   *[all] {""}
    }
upgrade-strength = una disolución madre cuya concentración se conozca el doble de bien

variant-as-planned = según el plan
variant-stock = reactivo más { $way ->
    [stronger] concentrado
   *[weaker] diluido
    }, { SIG($strength_mol_per_L, digits: 6, unit: "mol/L") }
variant-sample = { $way ->
    [larger] más
   *[smaller] menos
    } muestra, { SIG($sample_g, digits: 6, unit: "g") }
variant-balance = balanza más { $way ->
    [coarser] basta
   *[finer] fina
    }, { SIG($step_g, digits: 6, unit: "g") }
variant-room = sala más { $way ->
    [colder] fría
   *[warmer] cálida
    }, en { SIG($by_K, unit: "K") }
variant-runs = { $more } ensayos más, mismos extremos

## Un deseo que no es posible

refusal-wish = { $n ->
    [one] { $wished } no es posible.
   *[other] { $wished } no son posibles a la vez.
    }
refusal-row = { $n ->
    [0] Esta serie queda fuera del modelo completo.
    [one] Esta serie queda fuera del modelo completo en el vaso { $runs }.
   *[other] Esta serie queda fuera del modelo completo en los vasos { $runs }.
    }
refusal-sample-grows = Una serie en la que crece la muestra no se traza con deseos. Cambiar sample_g en la definición.
refusal-too-few-runs = Con menos de dos ensayos a cada lado, una serie no muestra ningún punto de equivalencia.
refusal-too-many-runs = Una serie puede tener como mucho { $most } ensayos.
refusal-no-amount = Tiene que ser un número mayor que cero, de { SIG($least) } a { FIX($most, decimals: 0) }{ $of ->
    [total-volume] {" "}mL
    [sample] {" "}g
    [stock] {" "}mol/L
   *[runs] {""}
    }.
refusal-no-such-solution = Ninguna disolución de { $name } tiene más de { SIG($strongest_mol_per_L, unit: "mol/L") }.
refusal-stronger-than-bottle = { $name } contiene { SIG($strongest_mol_per_L, unit: "mol/L") }, y solo se puede diluir.
refusal-stronger-than-bought = Aquello de lo que se prepara la disolución madre contiene { SIG($strongest_mol_per_L, unit: "mol/L") }, y solo se puede diluir.
refusal-between-steps = La balanza ({ $balance }) no puede mostrar esta masa.
refusal-between-pieces = Una pieza pesa unos { SIG($piece_g, digits: 6, unit: "g") }, así que una porción tiene que ser un múltiplo entero de { SIG($part_g, digits: 6, unit: "g") }.
refusal-vessel-too-small = En el vaso ({ $vessel }) solo caben { SIG($capacity_mL, digits: 6, unit: "mL") }.
refusal-not-measurable = Con este material ({ $ware }) no se puede medir una serie de { $runs } vertidos distintos, cada uno completado con agua hasta { SIG($total_mL, digits: 6, unit: "mL") }.
refusal-out-of-reach = El punto de equivalencia está entre { SIG($low_mL) } y { SIG($high_mL, unit: "mL") } de reactivo. Con este material y { SIG($total_mL, digits: 6, unit: "mL") } en total, una serie puede ir de { SIG($first_mL, digits: 6) } a { SIG($last_mL, digits: 6, unit: "mL") }, y necesita al menos dos ensayos a cada lado del punto de equivalencia.
refusal-no-room-for-water = Una disolución madre tan concentrada no deja sitio para el agua: no existe tal disolución.
refusal-beyond-model = El modelo completo no llega tan lejos ({ $where }).
refusal-model-ends = El modelo completo no se puede usar para estas cantidades.
refusal-instead = { $checked ->
    [yes] { $as_defined ->
        [yes] Con todo lo demás como en la definición, esto sí es posible (comprobado con el modelo completo): { ANY($amounts) }.
       *[no] En su lugar es posible (comprobado con el modelo completo): { ANY($amounts) }.
    }
   *[no] Usar { ANY($amounts) }.
    }
refusal-nothing-near = No sirve ningún otro valor de una sola cantidad. Cambiar dos a la vez.
refusal-ask-for-less = Pedir menos.

## Antes de imprimir las hojas

row-beyond-model = La serie así no funciona. { $because }
    .do = Mirar el plan de esta serie antes de repartir nada.
note-withheld = No se hicieron, y se quitaron donde estaban: { $files }. Se hacen solo cuando la definición dice quién decidió, en [prepare.gas_decision]: by, on, why.
note-hazards-unverified = Filas de peligros sin comprobar: { $rows }. Compararlas con las fichas de datos de seguridad del proveedor y confirmarlas en la definición ([[prepare.confirmed]]).
note-room-assumed = El tamaño de la sala es supuesto. Escribir volume_m3 y air_changes_per_hour de la sala propia en [room].
note-time-fits = El último grupo acaba a los { FIX($end_min, decimals: 0, unit: "min") }, más o menos. Cabe en los { SIG($lesson_min, unit: "min") } de la clase.
note-time-balances = El último grupo acaba a los { FIX($end_min, decimals: 0, unit: "min") }, más o menos, con una espera media de { FIX($wait_min, decimals: 1, unit: "min") } por una balanza. Con { $balances } balanzas serían { FIX($end_then_min, decimals: 0, unit: "min") }.
note-time-alone = El último grupo acaba a los { FIX($end_min, decimals: 0, unit: "min") }, más o menos, con una espera media de { FIX($wait_min, decimals: 1, unit: "min") } por una balanza. Incluso un grupo que no espera nunca necesita { FIX($least_min, decimals: 0, unit: "min") }, y la clase tiene { SIG($lesson_min, unit: "min") }.
note-time-long = El último grupo acaba a los { FIX($end_min, decimals: 0, unit: "min") }, más o menos, con una espera media de { FIX($wait_min, decimals: 1, unit: "min") } por una balanza. La clase tiene { SIG($lesson_min, unit: "min") }.
