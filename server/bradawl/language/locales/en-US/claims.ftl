# The ad and what is said of the car, on phone and desk. The phone loads it when it is looked at.

claims-title = Ad and claims
claims-hint = An ad is gone in a week, and a seller's words sooner. Keep both. No receipt, not done.

# the ad
claims-ad = The ad
# $date: when it was seen
claims-ad-seen = Seen { $date }
claims-ad-text = Text of the ad
claims-ad-whole = Read the ad as it was
claims-ad-paste = Paste
claims-ad-cant-paste = This browser gives nothing to paste. Hold a finger on the field and choose Paste.
claims-ad-file = From a text file
claims-ad-source = Where you saw it
claims-ad-date = Date of the ad
claims-ad-price = Price asked
claims-ad-keep = Keep the ad
claims-ad-empty = Paste the text first. A price or photos can come later.
claims-ad-kept = Ad kept.
claims-ad-another = Add another ad of this car
claims-ad-photos = Photos of the ad
# $number: which of the photos
claims-ad-photo = Photo { $number } of the ad
claims-add-photo = Add photo or screenshot
claims-prices = What was asked
claims-price-new = New price
claims-price-add = Note the new price
claims-price-noted = Price noted: { $price }.
# $change: "$500 less than before"
claims-price-less = { $change } less
claims-price-more = { $change } more
claims-price-unread = Type a whole amount, like { $example }.

# what is claimed
claims-list = What they say
claims-none = Nothing noted yet.
claims-spotted = In the ad. Tap what it really says.
# $claim: "New brakes"
claims-confirm = Note: { $claim }
claims-noted = Noted: { $claim }.
claims-new = Add what somebody says
claims-words = Their words
# $claims: "New brakes"
claims-counts-as = Counts as: { $claims }
claims-add = Add
claims-add-empty = Type what they say first.
claims-who = Who says so
claims-who-ad = The ad
claims-who-seller = Seller
claims-who-owner = Earlier owner
claims-who-shop = Shop
claims-who-other = Somebody else
claims-name = Name
claims-state = What became of it
claims-state-claimed = Claimed
claims-state-seen = Seen
claims-state-proven = Proven
claims-state-false = False
claims-said-on = When they said it
claims-state-missing = Choose what became of it.
claims-mark-seen = Mark as seen
claims-mark-false = Mark as false
# $claim: "New brakes"; $state: "False"
claims-marked = { $claim }: { $state }.
claims-proof = Receipt or photo that proves it
claims-proof-first = Add the receipt or a photo first. Without one it isn't proven.
# $claim: "New brakes"; $number: which of the photos
claims-proof-photo = Proof { $number }: { $claim }
claims-checks = Checks that tell
claims-more = Who, proof, change
claims-remove = Remove
claims-removed = Removed: { $claim }.
claims-settle = Claims your checks have answered

# an ad that was shared into the app
claims-shared = Shared ad
claims-shared-none = Nothing shared is waiting here.
claims-shared-hint = Put it with a car. It's kept on this phone until you do.
# $count: photos that came along
claims-shared-photos = { $count ->
    [one] { $count } photo comes along.
   *[other] { $count } photos come along.
 }
claims-shared-new = Start a car with it
claims-shared-with = Or put it with a car you have
claims-shared-drop = Drop it
