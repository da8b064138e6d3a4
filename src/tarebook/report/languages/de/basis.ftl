basis-read = in der Quelle gesehen
basis-secondary = in einem zitierenden Werk gesehen
basis-library = Wert einer Programmbibliothek
basis-computed = ausgerechnet
basis-memory = aus dem Gedächtnis, nicht nachgeschlagen
basis-common_practice = allgemein üblich
basis-declared = in der Definition angegeben
basis-found = gefunden
