# Words that phone, desk and report share: grades, units, lists. American English.

# A check's rating. On screens "OK" stands for no fault.
grade-none = No fault
grade-minor = Minor
grade-major = Needs fixing
grade-dangerous = Unsafe
grade-uninspected = Not checked
grade-open = Open

# May it be driven home? The judge's answer, in a few words.
drive-drive = Drive it home
drive-limits = Drive it easy
drive-not-cleared = Don't know yet
drive-trailer = Trailer it

# What the car is for; the codes of brief/uses.
use-everyday = Everyday driving
use-long-trips = Long trips
use-track = Track days
use-show = Shows
use-family = Family
use-load = Hauling
use-resale = Resale
use-project = Project

# A date and a clock time; $offset is "" for UTC itself, else such as -5 or +5:30
moment-zoned = { $moment } (UTC{ $offset })

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
unit-lbf-ft = { $figure } lb-ft
unit-km = { $figure } km
unit-m = { $figure } m
unit-mi = { $figure } mi
unit-ft = { $figure } ft
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
