key-title = Soluciones para el profesorado
key-warning = No es para el alumnado.
key-answers = Respuestas a las preguntas
key-table = Ensayo por ensayo
key-column_run = ensayo
key-column_reagent =
    { $name }
    mmol
key-column_analyte =
    { $name }
    mmol
key-column_limits = limita
key-column_gas =
    { $gas } por la ecuación
    g
key-column_lost =
    pérdida en la balanza
    g
key-column_stays =
    se queda
    g
key-table_note = Por la ecuación: lo que da el reactivo limitante, con { $content } de { $analyte } en la muestra y { $mass } de muestra en cada ensayo. En la balanza: lo que según el modelo del vaso faltará en la última pesada, { $minutes } min después de la efervescencia; algo de gas queda disuelto o dentro del vaso, y con él sale algo de agua. Las lecturas reales se dispersan alrededor.
key-table_note_none = Por la ecuación: lo que da el reactivo limitante, con { $content } de { $analyte } en la muestra y { $mass } de muestra en cada ensayo. Para esta reacción o esta concentración no se conoce aquí lo que queda disuelto.
key-equivalence = Los dos se gastan con { $volume } de { $name } (por la ecuación).
key-look = En qué fijarse
key-look_1 = El cálculo del libro de texto toma la pérdida en la balanza por el gas formado, y por eso encuentra demasiado poco { $analyte } donde se queda gas: aquí, al final de la serie, { $percent } de menos.
key-look_1_sample = El gas que se queda por igual en todos los vasos baja la recta ascendente y no cambia su pendiente: el contenido de { $analyte } se saca de la pendiente. El ensayo { $run } solo daría { $percent } de menos.
key-look_2 = El líquido pesa siempre algo menos de lo que dicen sus volúmenes, porque cada vez que se vierte algo queda en el material: aquí unos { $lacks }, en un buen grupo hasta { $usual }. Así que primero comparar y después juzgar.
key-look_2_between = de { $least } a { $most }
key-look_2_vessel = Un vaso que se aparta más de { $limit } de los de su propio grupo que se llenaron igual probablemente ha perdido líquido, o se leyó mal una escala: más o menos desde ahí lo señala también la comprobación de las lecturas.
key-look_2_room = Si todos los vasos de un grupo se apartan más de { $limit } de los de otros grupos, conviene ver cómo lee las escalas y escurre el material.
key-look_2_alone = Si a todos los vasos de un grupo les faltan más de { $limit }, conviene ver cómo lee las escalas y escurre el material.
key-look_3 = El punto de equivalencia se ve mejor cuando hay ensayos a los dos lados: { $below } por debajo, { $above } por encima.
key-look_4 = La muestra aporta ácido propio, { $amount } mmol de H⁺ por gramo ({ $acids }): se suma al vertido, y por eso sale más gas del que podría dar el ácido vertido solo.
key-column_own =
    ácido propio
    mmol H⁺
key-acid_limits = ácido
key-note_own = El ácido de la muestra se suma al vertido: donde pone ácido, se gastan antes los dos juntos.
key-note_two_steps = Hasta la mitad del ácido que necesita todo el { $analyte } no sale gas: primero el carbonato pasa a hidrogenocarbonato.
key-equivalence_sample = Los dos se gastan con { $mass } de muestra (por la ecuación).
key-equivalence_both = Los dos se gastan con { $volume } de { $name } por la ecuación; con { $read } leídos, porque cada vez que se vierte algo se queda.
key-equivalence_sample_both = Los dos se gastan con { $mass } de muestra por la ecuación; con { $read } según lo leído, porque cada vez que se vierte algo se queda.
key-equivalence_own_all = El ácido de la muestra gasta por sí solo todo el { $analyte }: por la ecuación, el { $name } vertido no cambia nada.
key-look_5 = El vaso sin { $name } muestra lo que hace solo el ácido de la muestra: { $mass } de { $gas } por la ecuación. Cada mL vertido suma algo, hasta { $volume } leídos; a partir de ahí sobra ácido y la pérdida no cambia.
key-look_6 = Los primeros vasos, hasta { $volume } de { $name }, no pierden casi nada: ahí el carbonato pasa a hidrogenocarbonato. Está bien así; no es un ensayo fallido.
key-look_7 = La pérdida no es solo el gas: de los { $lost } que pierde el ensayo { $run }, unos { $water } ({ $percent }) son agua, que sale como vapor con el gas caliente y durante la espera. El cálculo del libro de texto la toma por { $gas } y encuentra demasiado { $analyte }; un vaso sin muestra enseña lo que se evapora.
key-look_6_sample = Por encima de { $mass } de { $name } el gas vuelve a bajar: cada gramo más quita ácido al hidrogenocarbonato de los otros. A partir de { $none } un vaso no pierde casi nada. Está bien así; no es un ensayo fallido.
key-table_note_sample = Por la ecuación: lo que da el reactivo limitante, con { $content } de { $analyte } en la muestra y la muestra que la serie pide en cada ensayo. En la balanza: lo que según el modelo del vaso faltará en la última pesada, { $minutes } min después de la efervescencia; algo de gas queda disuelto o dentro del vaso, y con él sale algo de agua. Las lecturas reales se dispersan alrededor.
key-table_note_none_sample = Por la ecuación: lo que da el reactivo limitante, con { $content } de { $analyte } en la muestra y la muestra que la serie pide en cada ensayo. Para esta reacción o esta concentración no se conoce aquí lo que queda disuelto.
key-look_4_open = Nadie dice cuánto ácido aporta la muestra ({ $acids }); la tabla toma { $amount } mmol de H⁺ por gramo. La serie real puede ser muy distinta: lo muestran los vasos con poco reactivo.
