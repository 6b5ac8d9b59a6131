# Words that phone, desk and report share: grades, units, lists. American English.

# The states of a check: each has one word, on the phone, at the desk, in a report and on the check
# page (tests/language/test_states.py), and one mark (../../../design/marks.json). "OK" is "checked, and
# no fault found"; a report says so where it says how ratings come about.
grade-none = OK
grade-minor = Minor
grade-major = Needs fixing
grade-dangerous = Unsafe
grade-uninspected = Not checked
grade-open = Open
# An OK where nobody knows this car's own figure, so nothing was held against one
grade-none-eye = OK by eye

# What a person declares by signing; which words they read is part of what they sign
seal-declaration = What stands here is what I saw and measured. What I did not check is marked so.

# The two marks that are no rating: a fault that was repaired since, and what to look at or answer.
mark-mended = Fixed
mark-look-here = Look here

# Pages of examples, for who works on Bradawl.
specimen-title = Examples
specimen-marks = Marks
specimen-answers = Answers

# May it be driven home? The judge's answer, in a few words.
drive-drive = Drive it home
drive-limits = Drive it easy
drive-not-cleared = Don't know yet
drive-trailer = Trailer it

# Hidden histories (a crash, a flood) and the checks that speak for and against each
histories-title = What may have happened to it
histories-for = Speaks for it
histories-against = Speaks against it
# $item: a check's title; $said: what it found
histories-sign = { $item }: { $said }

# In place of a message that these words do not have: another version of Bradawl wrote it.
# $what: what the message is about, its arguments
shared-no-words = (this version has no words for this yet: update Bradawl)
shared-no-words-of = { $what } (this version has no words for the rest yet: update Bradawl)

# What the car is for; the codes of brief/uses.
use-everyday = Everyday driving
use-long-trips = Long trips
use-track = Track days
use-show = Shows
use-family = Family
use-load = Hauling
use-resale = Resale
use-project = Project

# A date and a clock time; $offset is "" for UTC itself, else such as −5 or +5:30
moment-zoned = { $moment } (UTC{ $offset })

# Where a limit or a rule comes from, and how well we know it
source-section = { $source }, { $section }
source-memory = { $source } (from memory)
source-read-secondary = { $source } (as others quote it)

# $figure is a number that is already written; $count is 1 when it is one
unit-mm = { $figure } mm
unit-in = { $figure } in
unit-in-32 = { $figure }/32 in
unit-um = { $figure } µm
unit-mil = { $figure } mil
unit-kPa = { $figure } kPa
unit-bar = { $figure } bar
unit-psi = { $figure } psi
unit-inHg = { $figure } inHg
unit-degC = { $figure } °C
unit-degF = { $figure } °F
unit-degC-diff = { $figure } °C
unit-degF-diff = { $figure } °F
unit-V = { $figure } V
unit-mV = { $figure } mV
unit-A = { $figure } A
unit-mA = { $figure } mA
unit-ohm = { $figure } Ω
unit-kohm = { $figure } kΩ
unit-N = { $figure } N
unit-daN = { $figure } daN
unit-kN = { $figure } kN
unit-kgf = { $figure } kgf
unit-lbf = { $figure } lbf
unit-Nm = { $figure } N·m
unit-lb = { $figure } lb
unit-kg = { $figure } kg
unit-lbf-ft = { $figure } lb-ft
unit-km = { $figure } km
unit-m = { $figure } m
unit-mi = { $figure } mi
unit-ft = { $figure } ft
unit-km-h = { $figure } km/h
unit-mph = { $figure } mph
unit-deg = { $figure }°
unit-percent = { $figure }%
unit-s = { $figure } s
unit-min = { $figure } min
unit-d =
    { $count ->
        [one] { $figure } day
       *[other] { $figure } days
    }
unit-yr =
    { $count ->
        [one] { $figure } year
       *[other] { $figure } years
    }

# $shown: in the reader's unit; $typed: what was read, in its own
measured-read-as = { $shown } (read as { $typed })

# Body styles, as they stand within a sentence; a screen begins a label with a capital.
body-style-sedan = sedan
body-style-coupe = coupe
body-style-hatchback = hatchback
body-style-wagon = station wagon
body-style-convertible = convertible
body-style-pickup = pickup
body-style-van = van
body-style-suv = SUV
# What stands behind the seats of such a car.
car-cargo =
    { $style ->
        [pickup] bed
        [sedan] trunk
        [coupe] trunk
        [convertible] trunk
       *[other] cargo area
    }

# Places on the car, as they stand within a sentence; a screen begins a label with a capital.
place-front-left = front left
place-front-left-inner = front left, inner
place-front-left-middle = front left, middle
place-front-left-outer = front left, outer
place-front-right = front right
place-front-right-inner = front right, inner
place-front-right-middle = front right, middle
place-front-right-outer = front right, outer
place-rear-left = rear left
place-rear-left-inner = rear left, inner
place-rear-left-middle = rear left, middle
place-rear-left-outer = rear left, outer
place-rear-right = rear right
place-rear-right-inner = rear right, inner
place-rear-right-middle = rear right, middle
place-rear-right-outer = rear right, outer
place-front = front
place-rear = rear
place-floor = floor
place-left = left
place-right = right
place-upper-left = upper left
place-upper-right = upper right
place-lower-left = lower left
place-lower-right = lower right
place-spare = spare
# of a sensor's table
place-cold = cold
place-warm = warm
place-hot = hot
place-bonnet = hood
place-bonnet-left = hood, left
place-bonnet-right = hood, right
place-roof = roof
place-soft-top = soft top
place-boot-lid = trunk lid
place-tailgate = tailgate
# a panel of both sides: the left one against the right one
place-front-door = front doors
place-rear-door = rear doors
place-back-door = back doors
place-boot-lid-left = trunk lid, left
place-boot-lid-right = trunk lid, right
place-tailgate-left = tailgate, left
place-tailgate-right = tailgate, right
place-back-door-left = left back door
place-back-door-right = right back door
place-front-wing-left = left front fender
place-front-wing-right = right front fender
place-front-door-left = left front door
place-front-door-right = right front door
place-rear-door-left = left rear door
place-rear-door-right = right rear door
place-rear-wing-left = left quarter panel
place-rear-wing-right = right quarter panel
place-side-panel-left = left side panel
place-side-panel-right = right side door or panel
place-cab-corner-left = left cab corner
place-cab-corner-right = right cab corner
place-bed-left = left bed side
place-bed-right = right bed side
place-sill-left = left rocker panel
place-sill-right = right rocker panel
# two diagonals of one opening, measured against each other
place-floor-a = floor, diagonal A
place-floor-b = floor, diagonal B
place-front-a = front, diagonal A
place-front-b = front, diagonal B
place-body = body
place-engine = engine
# places of the drawn car that are no panel
place-wheel-front-left = left front wheel
place-wheel-front-right = right front wheel
place-wheel-rear-left = left rear wheel
place-wheel-rear-right = right rear wheel
place-engine-bay = engine bay
place-cabin = cabin
place-cargo = trunk or cargo area
place-glass = glass
place-underside-front = under the front
place-underside-middle = under the middle
place-underside-rear = under the rear
place-coil = coil
place-plate = dash plate
# The maker's label in the door jamb, with the car's number
place-label = door label
place-papers = paperwork
place-title = title
place-inspection = inspection slip
place-sticker = service sticker
# one of several spots on a panel
place-spot = { $place }, spot { $number }
place-cylinder = cylinder { $number }

# What a tap on the phone records: why a check was not made, …
chip-not-access = no access
chip-not-safe = not safe
chip-not-seller = seller said no
chip-not-dark = too dark
chip-not-tool = no tool
chip-not-time = no time
# … why a rating differs from the measured one, …
chip-over-again = measured again
chip-over-gauge = gauge is off
chip-over-new = part is new
chip-over-known = already figured in
# … why two answers that contradict each other are both right.
chip-both-again = checked both again
chip-both-place = different places
chip-both-since = changed in between
# … and what a photo shows
chip-photo-overview = overview
chip-photo-close = close-up
chip-photo-below = from below
chip-photo-left = left
chip-photo-right = right
chip-photo-drawn = marked up

# A reading could mean two things; its answers follow as buttons: "0.1875 mm", "0.1875 in"
reading-doubt =
    { $count ->
        [one] { $name }: which did you mean?
       *[other] { $name }: which did you mean? Your answer goes for all { $count }.
    }

# what a record holds where a text is expected: a yes, a no, or so many values that some are left out
recorded-yes = yes
recorded-no = no
recorded-more = { $listed } and { $count } more

# What is said of a car beside what its checklist asks: each fact, and its answers
fact-unknown = Don't know
fact-fuel = Fuel
fact-fuel-petrol = Gas
fact-fuel-diesel = Diesel
fact-fuelling = Fuel system
fact-fuelling-injection = Injection
fact-fuelling-carburettor = Carburetor
fact-front-brakes = Front brakes
fact-front-brakes-disc = Disc
fact-front-brakes-drum = Drum
fact-rear-brakes = Rear brakes
fact-rear-brakes-disc = Disc
fact-rear-brakes-drum = Drum
fact-structure = Frame
fact-structure-unibody = Unibody
fact-structure-frame = Full frame
fact-gearbox = Transmission
fact-gearbox-manual = Manual
fact-gearbox-automatic = Automatic
fact-gearbox-cvt = CVT
fact-gearbox-dual-clutch = Dual clutch
fact-drive = Drive
fact-drive-front = FWD
fact-drive-rear = RWD
fact-drive-all = AWD
fact-steering = Steering
fact-steering-rack = Rack
fact-steering-box = Box
fact-assist = Power steering
fact-assist-power = Yes
fact-assist-manual = No
fact-airbags = Airbags
fact-airbags-yes = Yes
fact-airbags-no = No
fact-catalyst = Catalytic converter
fact-catalyst-yes = Yes
fact-catalyst-no = No
fact-aircon = Air conditioning
fact-aircon-yes = Yes
fact-aircon-no = No
