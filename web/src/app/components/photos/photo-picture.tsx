/** A stored photo as a picture; a sentence where this phone cannot show it. */

import { useEffect, useState } from "preact/hooks";
import { photoIntake } from "../../state/this-page";
import { text } from "../../text/catalogue";

export function PhotoPicture({
  sha256,
  alt,
  size = "thumb",
}: {
  sha256: string;
  alt: string;
  size?: "thumb" | "full";
}) {
  const [address, setAddress] = useState<string | null | undefined>(undefined);
  useEffect(() => {
    let isThere = true;
    void photoIntake.address(sha256, size).then((ready) => {
      if (isThere) setAddress(ready);
    });
    return () => {
      isThere = false;
    };
  }, [sha256, size]);
  if (address === null) return <span class="no-preview">{text("phone-photo-no-preview")}</span>;
  if (address === undefined) return <span class="photo-wait" />;
  return <img src={address} alt={alt} />;
}
