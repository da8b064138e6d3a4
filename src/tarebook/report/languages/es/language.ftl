# Qué lengua es, y cómo se escriben números, fechas y horas donde se habla, según el papel.

language-name = Español
language-locale_a4 = es_ES
language-locale_letter = es_MX
