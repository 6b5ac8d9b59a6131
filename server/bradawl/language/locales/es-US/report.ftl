# Spanish as it is spoken in the United States: the first page of the report and its cautions.
# What is missing here is read in English.

# ---- the first page ----

report-kind =
    { $edition ->
        [partner] Informe de estado, copia nuestra
        [repaired] Informe de estado después de la reparación
       *[other] Informe de estado
    }
report-title = { $kind }: { $car }
report-issued = { $kind } { $number }, { $date }
report-running-foot = { $car } · { $kind } { $number } · revisión { $visit } · { $date }
report-page-of = página { $page } de { $pages }
report-page = página { $page }
report-summary = Resumen
report-car = Carro
report-car-unnamed = Carro sin marca anotada
report-replaces = Este informe reemplaza el informe { $number } del { $date }.
report-not-signed = Nadie ha firmado esta revisión todavía: lo que dice puede cambiar.
report-changed-since =
    { $count ->
        [one] Una anotación se cambió o se agregó después de la firma. Está marcada y aparece en { $link }.
       *[other] { $count } anotaciones se cambiaron o se agregaron después de la firma. Están marcadas y aparecen en { $link }.
    }
report-jobs-since =
    { $count ->
        [one] Se hizo un trabajo después de la revisión: vea { $link }.
       *[other] Se hicieron { $count } trabajos después de la revisión: vea { $link }.
    }
report-changes = Cambios después de la firma
report-work = Trabajos hechos desde entonces

report-fact-vin = VIN
report-fact-registration = Placa
report-fact-odometer = Odómetro
report-fact-color = Color
report-fact-vin-check = Control del VIN
report-fact-build = Tipo
report-fact-inspector = Lo revisó
report-fact-when = Cuándo
report-fact-where = Dónde
report-fact-seller = Vendedor
report-fact-uses = Para qué es
report-fact-home = Camino a casa
report-not-recorded = sin anotar
report-vin-check-none = no se pudo, no se anotó el VIN
report-build-fuel-petrol = gasolina
report-build-fuel-diesel = diésel
report-build-fuelling-injection = inyección
report-build-fuelling-carburettor = carburador
report-build-gearbox-manual = transmisión manual
report-build-gearbox-automatic = transmisión automática
report-build-gearbox-cvt = transmisión continua (CVT)
report-build-gearbox-dual-clutch = transmisión de doble embrague
report-build-drive-front = tracción delantera
report-build-drive-rear = tracción trasera
report-build-drive-all = tracción en las cuatro ruedas
report-build-structure-unibody = carrocería unitaria
report-build-structure-frame = carrocería sobre bastidor
report-home-dark = de noche
report-home-wet = con lluvia
report-home-motorway = por autopista

report-drive-home = El camino a casa
report-drive-reasons = El camino a casa: todos los motivos
report-verdict-signed = Firmado el { $date }: { $verdict } Juzgado hoy: { $now }
report-outcome-brief = De { $found } fallas encontradas, { $fixed } están arregladas y revisadas de nuevo, { $better } están mejor, en { $unproven } se trabajó y no se revisaron de nuevo, y { $left } se conocen y quedaron como estaban. Visto el { $date }; esto no es una garantía.

report-grade-not-rated = Anotado, sin calificar
report-faults = { $grade }: { $count }
report-faults-none = { $grade }: nada en lo que se revisó.
report-faults-line = { $grade }: { $count }.

report-coverage = Cuánto del carro se revisó
report-coverage-share = Se hicieron { $seen } de { $total } revisiones; según para qué es el carro, eso es { $share }.
report-coverage-plain = Se hicieron { $seen } de { $total } revisiones.
report-unseen = Sin revisar: { $parts }.
report-unseen-others =
    { $count ->
        [one] La otra está en la lista, por su nombre.
       *[other] Las otras { $count } están en la lista, por su nombre.
    }
report-unseen-part = { $titles } ({ $why })
report-untouched-area = { $title } ({ $count })
report-unseen-rest = { $count } en otras { $areas } áreas
report-score-worst = Lo peor
report-score-others = Todas las demás áreas
report-score-clean = Lo que se revisó está OK.
report-score-unseen = Nadie lo revisó.
report-column-area = Área
report-pictures = Dónde está, y lo que más importa
report-map-left = lado izquierdo
report-map-right = lado derecho
report-map-top = desde arriba
report-map-finish-original = pintura original
report-map-finish-repainted = repintado
report-map-finish-filler = masilla
report-map-finish-thin = pintura delgada
report-map-finish-no-reading = sin acero debajo
report-map-tap-rust = óxido
report-map-tap-dent = abolladura
report-map-tap-repair = reparación vieja
report-map-film = Las cifras en los paneles son el grosor de la pintura. { $baseline }
report-photo-gap = Aquí va una foto que no se puede mostrar: { $why }.
report-photo-gap-caption = Aquí va una foto que no se puede mostrar: { $why }. Iba a mostrar: { $caption }
report-photo-not-here = no ha llegado del teléfono
report-photo-in-front = Su foto está en las primeras páginas.
report-unseen-ungraded = se anotó algo y nadie lo calificó
report-unseen-no-reason = sin motivo anotado

# ---- names of files ----

report-file-condition = informe
report-file-partner = copia nuestra
report-file-suffix = firmado

# ---- cautions ----

report-cautions = Precauciones y alcance
report-cautions-scope = Este informe dice lo que una persona vio, midió y oyó en un lugar y en un día, con herramientas sencillas y sin desarmar nada. No es la inspección del estado ni la reemplaza. La ley de su estado decide si un carro puede circular. Los trabajos en frenos, dirección, combustible, bolsas de aire, cinturones y encendido de alto voltaje son para quien tiene la preparación y, donde la ley lo pide, la licencia. Lo que se dice sin un recibo no prueba que el trabajo se haya hecho.

# ---- words of shared.ftl on that page; the phone does not load them from here ----

grade-none = OK
grade-minor = Leve
grade-major = Por arreglar
grade-dangerous = Peligroso
grade-uninspected = Sin revisar
grade-open = Pendiente
mark-mended = Arreglado
mark-look-here = Mire aquí

drive-drive = Puede irse manejando
drive-limits = Manéjelo con cuidado
drive-not-cleared = Todavía no se sabe
drive-trailer = Llévelo en remolque

# May it be driven home?
judge-answer-drive = Puede irse manejando. Nada de lo que se revisó lo impide.
judge-answer-limits = Manéjelo con cuidado: { $limits }.
judge-answer-limits-slow = Manéjelo con cuidado: vaya despacio y pare a revisar.
judge-answer-not-cleared =
    { $count ->
        [one] Todavía no se sabe: falta una revisión de la que depende el viaje.
       *[other] Todavía no se sabe: faltan { $count } revisiones de las que depende el viaje.
    }
judge-answer-trailer-dangerous = Llévelo en remolque. Peligroso: { $items }.
judge-answer-trailer-law = Llévelo en remolque. No es legal manejarlo: { $items }.
judge-drive-drive = Puede irse manejando.
judge-drive-limits = Manéjelo con cuidado.
judge-drive-trailer = Llévelo en remolque.
judge-drive-not-cleared = Todavía no se sabe si puede irse manejando.
judge-fault-found-why = { $item }: { $why }
judge-facts-more =
    { $count ->
        [one] Y una cosa más.
       *[other] Y { $count } cosas más.
    }
judge-items-more = { $count } más
judge-answer-trailer-hard = Llévelo en remolque. Primero hay fallas que arreglar, y el camino a casa es difícil: { $ways }.
judge-way-dark = de noche
judge-way-wet = con lluvia
judge-way-motorway = por autopista
judge-way-far = largo
judge-easy-dark = solo de día
judge-easy-wet = solo en camino seco
judge-easy-motorway = sin autopista, a no más de { $speed }
judge-easy-far = no más de { $distance }
judge-drive-caution = Esto no reemplaza la inspección de un taller con licencia. La ley del estado y la local deciden si el carro puede circular: registro, seguro, inspección donde el estado la pide.
judge-drive-unsafe = { $item }: peligroso. { $why }
judge-drive-law = { $item }: la ley no deja manejarlo. { $why }
judge-drive-major = { $item }: por arreglar. { $why }
judge-drive-fault = { $item }: por arreglar.
judge-drive-unseen = { $item }: sin revisar, y el viaje depende de eso.
judge-drive-open = { $item }: sin revisar.
judge-drive-same = { $item }: { $grade }, por lo mismo.
judge-not-reached = No se llegó a revisar.
judge-not-reached-time = No se llegó a revisar: faltó tiempo.
judge-not-reached-seller = No se llegó a revisar: el vendedor no quiso.
judge-not-reached-tools = No se llegó a revisar: no había herramientas ni elevador.
judge-not-reached-weather = No se llegó a revisar: demasiado oscuro o mojado.
judge-not-reached-enough = No se llegó a revisar: ya se había visto bastante.

# Why a check got its rating
judge-at = { $name }, { $place }
judge-limit-below = { $name }: { $value } es menos de { $limit }.
judge-limit-above = { $name }: { $value } es más de { $limit }.
judge-limit-outside = { $name }: { $value } no está entre { $low } y { $high }.
judge-limit-is = { $name }: { $value }.
judge-limit-yes = { $name }.
judge-reason-combination = { $reason }
judge-reason-also = También { $others }.
judge-reason-unseen = Sin revisar.
judge-reason-unseen-why = Sin revisar: { $why }.
judge-together = marcado OK junto con los demás
judge-erased-reason = el motivo se borró a petición

# What the VIN says of itself
judge-word-vin-valid = válido
judge-word-vin-bad-character = con un signo que ningún VIN tiene
judge-word-vin-wrong-length = de otro largo
judge-word-vin-not-checkable = no se puede comprobar
judge-word-vin-wrong-check-digit = con el dígito de control equivocado
judge-word-vin-no-check-digit = sin dígito de control
judge-more-vin-bad-character = Ningún VIN tiene lo que está en { $positions }.
judge-vin-position = la posición { $position } ({ $letter })
judge-more-vin-wrong-length =
    { $count ->
        [one] Un signo; un VIN tiene 17.
       *[other] { $count } signos; un VIN tiene 17.
    }
judge-more-vin-not-checkable =
    { $count ->
        [one] Un signo: antes de 1981 no hay dígito de control.
       *[other] { $count } signos: antes de 1981 no hay dígito de control.
    }
judge-more-vin-valid = El dígito de control { $digit } es correcto.
judge-more-vin-wrong-check-digit = El noveno dígito es { $digit } y debería ser { $right }.
judge-more-vin-no-check-digit = El noveno dígito no es de control; solo Norteamérica lo exige.

# Places on the car, as they stand within a sentence
place-front-left = delantero izquierdo
place-front-left-inner = delantero izquierdo, interior
place-front-left-middle = delantero izquierdo, centro
place-front-left-outer = delantero izquierdo, exterior
place-front-right = delantero derecho
place-front-right-inner = delantero derecho, interior
place-front-right-middle = delantero derecho, centro
place-front-right-outer = delantero derecho, exterior
place-rear-left = trasero izquierdo
place-rear-left-inner = trasero izquierdo, interior
place-rear-left-middle = trasero izquierdo, centro
place-rear-left-outer = trasero izquierdo, exterior
place-rear-right = trasero derecho
place-rear-right-inner = trasero derecho, interior
place-rear-right-middle = trasero derecho, centro
place-rear-right-outer = trasero derecho, exterior
place-front = adelante
place-rear = atrás
place-floor = piso
place-left = izquierda
place-right = derecha
place-upper-left = arriba a la izquierda
place-upper-right = arriba a la derecha
place-lower-left = abajo a la izquierda
place-lower-right = abajo a la derecha
place-spare = refacción
place-bonnet = cofre
place-bonnet-left = cofre, izquierda
place-bonnet-right = cofre, derecha
place-roof = techo
place-soft-top = capota
place-boot-lid = tapa de la cajuela
place-tailgate = puerta trasera
place-front-door = puertas delanteras
place-rear-door = puertas traseras
place-back-door = puertas de atrás
place-boot-lid-left = tapa de la cajuela, izquierda
place-boot-lid-right = tapa de la cajuela, derecha
place-tailgate-left = puerta trasera, izquierda
place-tailgate-right = puerta trasera, derecha
place-back-door-left = puerta de atrás izquierda
place-back-door-right = puerta de atrás derecha
place-front-wing-left = guardafango delantero izquierdo
place-front-wing-right = guardafango delantero derecho
place-front-door-left = puerta delantera izquierda
place-front-door-right = puerta delantera derecha
place-rear-door-left = puerta trasera izquierda
place-rear-door-right = puerta trasera derecha
place-rear-wing-left = costado trasero izquierdo
place-rear-wing-right = costado trasero derecho
place-side-panel-left = costado izquierdo
place-side-panel-right = costado o puerta derecha
place-cab-corner-left = esquina izquierda de la cabina
place-cab-corner-right = esquina derecha de la cabina
place-bed-left = lado izquierdo de la caja
place-bed-right = lado derecho de la caja
place-sill-left = estribo izquierdo
place-sill-right = estribo derecho
place-floor-a = piso, diagonal A
place-floor-b = piso, diagonal B
place-front-a = frente, diagonal A
place-front-b = frente, diagonal B
place-body = carrocería
place-engine = motor
place-wheel-front-left = rueda delantera izquierda
place-wheel-front-right = rueda delantera derecha
place-wheel-rear-left = rueda trasera izquierda
place-wheel-rear-right = rueda trasera derecha
place-engine-bay = compartimiento del motor
place-cabin = cabina
place-cargo = cajuela o área de carga
place-glass = vidrios
place-underside-front = debajo, adelante
place-underside-middle = debajo, en medio
place-underside-rear = debajo, atrás
place-coil = bobina
place-plate = placa del tablero
place-label = etiqueta de la puerta
place-papers = papeles
place-title = título
place-inspection = comprobante de inspección
place-sticker = etiqueta de servicio
place-spot = { $place }, punto { $number }
place-cylinder = cilindro { $number }

use-everyday = Uso diario
use-long-trips = Viajes largos
use-track = Días de pista
use-show = Exhibiciones
use-family = Familia
use-load = Carga
use-resale = Reventa
use-project = Proyecto
