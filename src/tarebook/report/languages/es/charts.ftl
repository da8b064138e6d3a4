# Ejes, rótulos y leyendas de los gráficos.

charts-reactant = { $what ->
    [reagent] reactivo
    [acid] ácido
   *[sample] muestra
    }
charts-the = { $what ->
    [reagent] el reactivo
    [acid] el ácido
   *[sample] la muestra
    }
charts-limits = { $what ->
    [reagent] limita el reactivo
    [acid] limita el ácido
   *[sample] limita la muestra
    }
charts-axis = { $grows ->
    [sample] muestra / g
   *[reagent] reactivo vertido / mL
    }
charts-along = { $grows ->
    [sample] la muestra en g
   *[reagent] el reactivo vertido en mL
    }
charts-at_sample = { $place } de muestra
charts-lost = masa perdida / g
charts-made = gas formado
charts-made_by_model = gas formado, según el modelo
charts-key = Cada punto es un ensayo, convertido { $grows ->
    [sample] al mismo volumen de reactivo
   *[reagent] a la misma masa de muestra
    }.
charts-key_model = La curva gruesa es el modelo del vaso.
charts-key_lines = Las rectas finas a trazos son las del cálculo de manual.
charts-key_made = Una raya sobre un punto es el gas que formó el ensayo: lo que hay entre ambos está retenido.
charts-key_bars = Barras: 95 %.
charts-key_band = Barras y banda sombreada: 95 %.
charts-key_marks = Signos: { $marks }.
charts-mark_reagent = círculo, limita el reactivo
charts-mark_acid = círculo, limita el ácido
charts-mark_sample = cuadrado, limita la muestra
charts-mark_not_sure = rombo, no es seguro
charts-mark_not_used = círculo hueco, no se usa
charts-all_acid = el ácido es todo el del vaso, el vertido y el de la muestra
charts-equivalence = punto de equivalencia
charts-meet = cálculo de manual:{ $wrap }corte en{ $wrap }{ $found }
charts-not_used = { $run } (no se usa)
charts-no_sample = { $run } (sin muestra)
charts-chance = probabilidad de que limite { $what ->
    [acid] el ácido
   *[reagent] el reactivo
    } / %
charts-content = contenido / %
charts-claim = etiqueta: { $percent }
charts-ph = pH en la última pesada
charts-ph_note = El pH según el modelo cuando se pesó cada vaso por última vez; barras: 95 %.
charts-ph_hollow = Hueco: la disolución está más concentrada de lo que admite el modelo de actividades; el pH solo vale con unas décimas.

charts-curve_alt = Gráfico de la masa perdida en g frente a { $along }, { $n ->
    [one] un ensayo
   *[other] { $n } ensayos
    }.
charts-model_alt = La curva del modelo sube mientras limita { $rising } y { $goes_on } donde limita { $beyond }; según el modelo ambos se agotan en { $at }.
charts-lines_alt = La recta del cálculo de manual sube mientras limita { $rising } y { $goes_on } donde limita { $beyond }; sus dos rectas se cortan en { $at }.
charts-falls = vuelve a bajar
charts-falls_from = vuelve a bajar desde { $top }
charts-levels = se hace llana
charts-levels_at = se hace llana en { $top }
charts-stays = sigue llana en { $top }
charts-limiting_alt = Gráfico de la probabilidad de que limite { $what ->
    [acid] el ácido
   *[reagent] el reactivo
    }: { $each }.
charts-budget_alt = Barras de la parte de cada fuente en la varianza del contenido: { $each }.
