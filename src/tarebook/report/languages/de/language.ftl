# Welche Sprache es ist, und wie dort Zahlen, Daten und Zeiten geschrieben werden, nach dem Papier.

language-name = Deutsch
language-locale_a4 = de_DE
language-locale_letter = de_DE
