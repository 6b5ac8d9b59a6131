# Palabras comunes; lo que falta se lee en inglés.
measured-read-as = { $shown } (leído: { $typed })

seal-declaration = Lo que consta aquí es lo que vi y medí. Lo que no revisé está marcado así.
