# Lo que dice el modelo completo.

model-about = El modelo del vaso sigue cada ensayo desde el vertido hasta la última pesada: lo que se queda en el recipiente de medida, cómo reaccionan ácido y muestra, cuánto gas queda disuelto o dentro del vaso, lo que se evapora y lo que una balanza muestra de todo ello. Se ajusta a todas las lecturas de todos los ensayos a la vez, junto con lo que se sabe de antemano de los instrumentos y del vaso. Cómo se deduce, qué supone y cuándo no fiarse de él está en la documentación, en el capítulo sobre el modelo del vaso.
model-usual_open = El cálculo de manual no da resultado para esta serie: { $why }.
model-usual = El cálculo de manual cuenta la masa perdida como el { $gas } formado y da { $found }, { $apart } puntos porcentuales por { $way ->
    [lower] debajo
   *[higher] encima
    }.
model-usual_slope = Sale de la pendiente de la recta ascendente, que no cambia con el gas que se queda por igual en todos los vasos. Lo que un vaso retiene más que otro, su ± lo trata como un error de cada vaso; los vasos con más muestra retienen más, así que suele quedar entre un 1 y un 3 % bajo.
model-usual_leaves_out = Su ± no cubre lo que deja fuera, sobre todo: { $effect }.
model-verdicts_both_agree = También según ese cálculo la muestra concuerda con su etiqueta (distan { $times }).
model-verdicts_full_agrees = Solo por ese cálculo la etiqueta parecería falsa (distan { $times }).
model-verdicts_usual_agrees = Solo por ese cálculo la etiqueta parecería correcta (distan { $times }).
model-verdicts_none_agrees = Tampoco según ese cálculo concuerda la muestra con su etiqueta (distan { $times }).
model-waterfall_note = Cada barra es lo que un efecto cambia en el contenido, en puntos porcentuales, una vez contados todos los de arriba; cuánto aporta cada uno depende un poco del orden.
model-fit_untested = A esta serie no le sobra ninguna lectura, así que nada puede poner a prueba el ajuste.
model-fit = Las lecturas están { $how_well ->
    [poor] más lejos del modelo de lo que permiten sus incertidumbres: una lectura está mal o el modelo no vale aquí
    [fair] un poco más lejos del modelo de lo que prometen sus incertidumbres
    [too_good] más cerca del modelo de lo que prometen sus incertidumbres: quizá se indicaron demasiado grandes
   *[good] tan cerca del modelo como prometen sus incertidumbres
    } (χ² = { $chi2 } con { $dof ->
    [one] { $dof } grado de libertad
   *[other] { $dof } grados de libertad
    }; { $chance } de tales series estarían más lejos).
model-interval = El intervalo del 95 % es un perfil: se fijó el contenido en un valor tras otro y se ajustó de nuevo todo lo demás, porque el ajuste es demasiado curvo para que valga valor ± 1,96 u.
model-residuals_note = Lecturas a más de 2 u de lo que el modelo espera por todas las demás. Donde otras del mismo ensayo se ajustan igual de mal, la errónea puede ser cualquiera de ellas.
model-column_reading = lectura
model-column_read = leído
model-column_expected = esperado
model-column_off = se aparta
model-column_alike = o también
model-reading_tare_g = vaso vacío
model-reading_reagent_mL = volumen de reactivo
model-reading_diluent_mL = volumen: { $diluent }
model-reading_vessel_liquid_g = vaso con líquido
model-reading_sample_g = muestra
model-reading_final_g = vaso al final
model-parameters_note = Antes y después de las lecturas; aprendido es la parte de la varianza que ellas quitaron.
model-column_before = antes
model-column_after = después
model-column_learned = aprendido
model-column_source = de dónde viene lo que se sabía antes
model-nothing = nada
model-uninformed = Las lecturas no dicen nada de: { $names }. Lo que el resultado les debe se apoya en lo que se sabía antes.
model-confounded = Las lecturas solas no pueden distinguir (con su correlación): { $pairs }. Bajo cero, uno mayor y el otro menor parecerían lo mismo; sobre cero, ambos mayores.
model-pair = { $first } y { $second } ({ $correlation })
model-assumed = Se da por supuesto: { $assumption }
model-of_run = { $reading }, ensayo { $run }
model-missing_one_little = No se usa: { $which }. Con ella el contenido apenas se conocería mejor.
model-missing_one = No se usa: { $which }. Con ella, u del contenido sería { $with_it } en lugar de { $without } puntos porcentuales.
model-missing_little = { $n } lecturas faltan o no se usan. Con ninguna de ellas se conocería el contenido mucho mejor.
model-missing = { $n } lecturas faltan o no se usan. La que más se echa en falta: { $which }. Con ella, u del contenido sería { $with_it } en lugar de { $without } puntos porcentuales.
model-waterfall_alt = Barras del cálculo de manual al modelo, contenido en %: { $each }.
model-ph_alt = Gráfico del pH en la última pesada frente a { $along }: { $each }.

model-effect_buoyancy = empuje del aire
    .words = El aire sostiene una parte del peso de todo lo que está en la balanza.
model-effect_calibration = escalas de los recipientes
    .words = Las escalas de los dos recipientes de medida son un poco largas o cortas.
model-effect_hold-up = líquido que queda en cada vertido
    .words = En cada vertido se queda un poco de líquido en el recipiente de medida.
model-effect_own_acid = ácido de la propia muestra
    .words = El ácido que trae la muestra forma gas sin reactivo; una base junto al analito gasta reactivo sin formar gas.
model-effect_dissolved_gas = gas que queda disuelto
    .words = Parte del gas formado queda disuelta, y la muestra sobrante retiene aún más.
model-effect_head_gas = gas dentro del vaso
    .words = Parte del gas está dentro del vaso, en lugar de aire, y se pesa con él.
model-effect_vapour = vapor que se va con el gas
    .words = El gas que se va se lleva vapor de agua.
model-effect_evaporation = agua que se evapora
    .words = El agua se evapora mientras el vaso espera.
model-effect_cooling = enfriamiento por la reacción
    .words = La reacción enfría o calienta el líquido: uno frío retiene más gas, uno caliente pierde más vapor.
model-effect_usual_sum = cálculo de manual
model-effect_all_readings_weighed_together = todas las lecturas juntas
    .words = El cálculo de manual saca el contenido solo de la parte llana de la serie. Aquí cuenta cada lectura de cada ensayo, y más las exactas: también las de la parte ascendente, donde el volumen y la concentración del reactivo dicen cuánto reaccionó.
    .words_sample = El cálculo de manual saca el contenido solo de la pendiente de la recta ascendente. Aquí cuenta cada lectura de cada ensayo, y más las exactas: también las que están más allá, donde el volumen y la concentración del reactivo dicen cuánto reaccionó.
model-whole = modelo del vaso

model-of_content = { $analyte } en la muestra
model-of_own_acid = ácido de la propia muestra
model-of_concentration = concentración del reactivo
model-of_scale_reagent = error de escala, recipiente del reactivo
model-of_scale_diluent = error de escala, recipiente: { $diluent }
model-of_hold_up_reagent = reactivo que queda en cada vertido
model-of_hold_up_diluent = { $diluent }, lo que queda en cada vertido
model-of_gas_pressure = presión de { $gas } en el líquido
model-of_degassing = rapidez con que baja esa presión
model-of_head_fraction = espacio del vaso aún lleno de { $gas }
model-of_evaporation = agua que se evapora
model-of_vapour_saturation = humedad del gas que se va
model-of_heat_kept = calor de reacción que queda en el líquido
model-of_waiting = espera sin anotar, entre la prevista
model-of_first_pk_shift = desplazamiento del primer pK del ácido carbónico
model-of_activity = gas retenido por las actividades, en u del modelo
model-of_saturation = ln de la saturación con el sólido sobrante

model-no_equilibrium = No se conoce aquí ningún equilibrio para { $analyte } y { $reagent }: se supone que la reacción es completa{ $heat ->
    [yes] {""}
   *[no] {" "}y que la temperatura no cambia
    }; no se da el pH.
model-dissolves_so_far = Se supone que el { $analyte } que no encuentra ácido se disuelve hasta donde permite su producto de solubilidad, salvo un factor dos en la saturación.
model-acid_has_no_part = Se supone que el ácido de la propia muestra no interviene en la formación de { $gas }.
model-acid_without_name = La definición no nombra el ácido de la muestra; se toma por ácido cítrico.
model-acid_taken_for_strong = El ácido de la muestra que no tiene nombre se toma por un ácido fuerte.
model-may_hold_base = La muestra puede contener algo de base que no da gas, como la cal viva; eso ensancha el intervalo. Si no puede ser, escriba own_acid = "none" en [sample].
