# Lo que dice el informe de una serie terminada.

report-content_label = { $analyte } en la muestra
report-answer = Hallamos { $content } de { $analyte } en masa en la muestra ({ $name }).
report-answer_open = Esta serie no permite saber cuánto { $analyte } contiene la muestra ({ $name }): { $why }.
report-withheld = No se da ningún contenido: { $why }.
report-claim = La etiqueta dice { $said }. El resultado { $agrees ->
    [yes] concuerda con ella
   *[no] no concuerda con ella
    }: está { $apart } puntos porcentuales por { $way ->
    [lower] debajo
   *[higher] encima
    }, es decir, { $times } de la diferencia ({ $agrees ->
    [yes] hasta { $limit } cuenta como acuerdo
   *[no] más de { $limit } cuenta como desacuerdo
    }).
report-second_way = Un segundo camino, por el punto de equivalencia y la concentración del reactivo, da { $found }. { $agree ->
    [yes] Los dos concuerdan: distan { $times } de su diferencia.
   *[no] Los dos no concuerdan: distan { $times } de su diferencia. El cálculo deja algo fuera; no compare todavía el primer resultado con la etiqueta.
    }
report-caveat = El cálculo de manual cuenta la masa perdida como el { $gas } formado. { $grows ->
    [sample] El gas que se queda por igual en todos los vasos desplaza la recta ascendente, pero no cambia su pendiente; lo que un vaso retiene más que otro, el ± lo trata como un error de cada vaso. Los vasos con más muestra están más fríos y retienen más gas bajo su borde, así que el contenido suele salir entre un 1 y un 3 % bajo.
   *[reagent] El gas que se queda en el líquido o en el vaso hace que el contenido salga bajo; el vapor de agua que se va con el gas, que salga alto. El ± no cubre ninguno de los dos.
    }
report-about_budget = Cuánto aporta cada fuente a la varianza del contenido. Lo que más ayuda es conocer mejor lo que está arriba, con un instrumento mejor o con una medida propia; abajo no cambia nada.
report-method = Tarebook { $version }{ $date }.
report-method_model = Modelo del vaso: ajuste conjunto.
report-method_usual = Cálculo de manual: { $draws } sorteos de Monte Carlo, semilla { $seed }. Definición { $digest }.

report-fact_textbook = Cálculo de manual
report-fact_textbook_note = la masa perdida contada como el { $gas } formado{ $grows ->
    [sample] , por la pendiente de la recta ascendente
   *[reagent] {""}
    }; por el punto donde se cortan sus dos rectas sería { $second }
report-fact_equivalence = Punto de equivalencia
report-fact_equivalence_note = { $used_up }; el cálculo de manual dice { $found }
report-used_up = { $grows ->
    [sample] de muestra, que agota el reactivo ({ $name }, { $portion }) de cada vaso
   *[reagent] de { $name }, que agota { $portion } de muestra
    }
report-fact_held = { $gas } retenido
report-fact_held_note = { $below ->
    [yes] bajo cero: el { $gas } del vaso es más ligero que el aire que ha desplazado y resta masa en la balanza
   *[no] formado, pero aún disuelto o dentro del vaso en la última pesada
    }: desde el ensayo que menos hasta el que más
report-fact_second = Contenido por el punto de equivalencia
report-fact_second_note = un segundo camino, por { $grows ->
    [sample] esa masa, el volumen
   *[reagent] ese volumen
    } y la concentración del reactivo
report-fact_scatter = Dispersión en torno a las dos rectas
report-fact_scatter_value = { $scatter } veces
report-fact_scatter_note = lo que explican { $grows ->
    [sample] los instrumentos y el gas que un vaso retiene más que otro
   *[reagent] los instrumentos
    }; se espera alrededor de 1{ $widened ->
    [yes] ; las incertidumbres de las rectas se amplían en esa medida
   *[no] {""}
    }

report-warning = { $n ->
    [one] Un hallazgo dice alto: no se fíe del resultado hasta que esté resuelto.
   *[other] { $n } hallazgos dicen alto: no se fíe del resultado hasta que estén resueltos.
    }
report-whole_row = toda la serie
report-severity_stop = alto
report-severity_look = mirar
report-severity_note = nota
report-to_do = Qué hacer: { $do }
report-nothing_odd = No se ha notado nada raro en las lecturas.
report-unused_none = Fuera de todo resultado, { $runs }: { $why }.
report-unused_textbook = Fuera del cálculo de manual, { $runs }: { $why }. El modelo sí.
report-unused_lines = Fuera de las dos rectas, { $runs }: { $why }.
report-unused_both = Fuera de las dos rectas y del modelo, { $runs }: { $why }.
report-unused_model = Fuera del modelo, { $runs }: { $why }.

report-runs_note = { $basis ->
    [slope] Cantidades de los ensayos, con el contenido que da la pendiente de la recta ascendente.
    [level] Cantidades de los ensayos, con el contenido hallado, de modo que el rendimiento en la meseta es del 100 % de media.
    [claimed] Cantidades de los ensayos, con el contenido que indica la etiqueta.
   *[pure] Cantidades de los ensayos, como si la muestra fuera pura.
    } Cada ± es una u.
report-amounts_note = Cantidades según el modelo. Donde dice qué limita, el ácido de la muestra cuenta con el reactivo. Cada ± es una u.
report-gas_note = El { $gas } retenido sigue disuelto o está dentro del vaso. Formado = perdido + retenido, menos vapor y evaporación, corregido por el empuje del aire y el error de la balanza. El rendimiento es la masa perdida entre el { $gas } esperado: lo que vería el cálculo de manual. Cada ± es una u.
report-column_limits = limita
report-column_chance = prob.
report-column_found = { $gas } hallado
report-column_expected = { $gas } esperado
report-column_yield = rend.
report-column_lost = perdido
report-column_held = retenido
report-column_made = { $gas } formado
report-left_out = excluido
report-middle_of = { $typed } (la central de { $times } lecturas)
report-small_shares = { $n } más, cada una menor del { $limit }
report-brackets = { $value }({ $digits }) significa { $value } ± { $u }.
report-molar_mass = masa molar de { $name }
report-strength_of = concentración: { $name }
report-content_claimed = contenido declarado
report-constants_note = Números usados junto con las lecturas.
report-column_what = qué
report-column_value = valor
report-source_gum = JCGM 100:2008 (GUM): incertidumbre típica, redondeo, balance de incertidumbres
report-source_monte_carlo = JCGM 101:2008: propagación de distribuciones por Monte Carlo
report-source_lines = D. J. Hudson, J. Am. Stat. Assoc. 61 (1966) 1097: dos rectas que se cortan

report-title_answer = El resultado
report-title_interval = Intervalo del 95 %: { $interval }
report-title_waterfall = Del cálculo de manual al modelo del vaso
report-title_runs = Ensayo por ensayo
report-title_open = Vasos sin terminar
report-title_beside = Junto al resultado
report-title_model = El modelo del vaso
report-title_fit = Cómo de bien se ajusta el modelo
report-title_worst = Lecturas que peor se ajustan
report-title_taught = Lo que enseñaron las lecturas
report-title_budget = De dónde viene la incertidumbre
report-title_how = Cómo se obtuvo cada número
report-title_constants = Constantes y concentración
report-title_row = La serie
report-title_sources = Fuentes
report-steps_note = Los pasos 1 a { $first } son el cálculo de manual; los últimos { $last }, lo que hace el modelo del vaso.
