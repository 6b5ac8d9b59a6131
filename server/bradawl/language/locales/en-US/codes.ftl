# The car's number by its bar code, and typed. The phone loads these words with those screens.

codes-vin-hint = Door jamb, title, registration or windshield: hold the code straight and sharp, across the whole picture.
codes-vin-looking = Looking for a code…
codes-vin-reading = Reading the picture…
codes-vin-type = Type it
codes-vin-check = Check it
codes-vin-count =
    { $count ->
        [one] 1 character. A VIN has 17 from 1981 on; older cars have any number.
       *[other] { $count } characters. A VIN has 17 from 1981 on; older cars have any number.
    }
codes-vin-no-code = No code in that picture. Come closer, hold the phone straight, keep glare off it; or type the number.
# $read: what the code says
codes-vin-other = This code says “{ $read }”. That's no VIN: a VIN has 17 letters and digits. Try another code.
codes-vin-forbidden = This code says “{ $read }”. No VIN has the letter { $letter } (position { $position }), so it isn't one, or it's misprinted. Type the number from the plate.
codes-vin-no-reader = The code reader isn't on this phone yet: it comes over Wi-Fi. Type the number instead.
codes-vin-differs = Two different VINs on this car. Both stay on record. That can mean a stolen car, two cars made into one, or the wrong title: settle it before you pay.
# Where the other number stands, and the number
codes-vin-at = { $place }: { $number }
codes-vin-details = Car's details
codes-vin-where = Where did you read it?
# A place that has another number already; a tap replaces that
codes-vin-instead = { $place }: replace what's there
codes-vin-keep = This is the car's VIN
codes-vin-year = Year is empty: set { $year }
codes-vin-again = Read another
