"""How the algorithm of an RSA signature may be written (RFC 4055, 3.1; RFC 8017, A.2.3)."""

from __future__ import annotations

import pytest
from asn1crypto import algos  # type: ignore[import-untyped]

from bradawl.report.checking import envelope


def _pss(salt: int, mask: str = "sha256") -> algos.SignedDigestAlgorithm:
    parameters = algos.RSASSAPSSParams(
        {
            "hash_algorithm": {"algorithm": "sha256"},
            "mask_gen_algorithm": {"algorithm": "mgf1", "parameters": {"algorithm": mask}},
            "salt_length": salt,
        }
    )
    return algos.SignedDigestAlgorithm({"algorithm": "rsassa_pss", "parameters": parameters})


@pytest.mark.parametrize("salt", [0, 1, 32, 200])
def test_a_salt_has_any_length_none_at_all_too(salt: int) -> None:
    written = _pss(salt)
    assert envelope._pss_algorithm(written, "sha256") == written.dump()


def test_a_salt_of_less_than_nothing_is_refused() -> None:
    with pytest.raises(ValueError, match="less than nothing"):
        envelope._pss_algorithm(_pss(-1), "sha256")


def test_another_digest_for_the_mask_is_not_left_as_it_is() -> None:
    written = _pss(32, mask="sha512")
    assert envelope._pss_algorithm(written, "sha256") != written.dump()
