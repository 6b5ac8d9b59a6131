# Palabras comunes; lo que falta se lee en inglés.
measured-read-as = { $shown } (leído: { $typed })
