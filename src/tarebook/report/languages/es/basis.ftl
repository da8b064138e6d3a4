basis-read = visto en la fuente
basis-secondary = visto en una obra que la cita
basis-library = valor de una biblioteca de programas
basis-computed = calculado
basis-memory = de memoria, sin consultarlo de nuevo
basis-common_practice = práctica habitual
basis-declared = indicado en la definición
basis-found = hallado
