"""Hardness of steel in three scales: rows of ASTM E140 table 1 for these tests.

HRC 34 and above as a tester's manual prints them [secondary], below that from memory. The rows between those here
are straight lines; nothing is converted below 20 HRC.
"""

import numpy as np

HRC_TO_VICKERS = (
    (20, 238), (22, 248), (24, 260), (25, 266), (26, 272), (28, 286), (30, 302), (32, 318), (35, 345), (36, 354),
    (38, 372), (40, 392), (42, 412), (45, 446), (48, 484), (50, 513), (52, 544), (54, 577), (56, 613), (58, 653),
    (60, 697), (62, 746), (65, 832), (68, 940),
)  # fmt: skip
HRC_TO_BRINELL = (
    (20, 226), (22, 237), (24, 247), (25, 253), (26, 258), (28, 271), (30, 286), (32, 301), (34, 319), (35, 327),
    (36, 336), (38, 353), (40, 371), (42, 390), (45, 421), (48, 455), (50, 481),
)  # fmt: skip


def vickers_of(hrc: float) -> float:
    assert hrc >= 20
    return float(np.interp(hrc, *zip(*HRC_TO_VICKERS, strict=True)))


def hrc_of_vickers(vickers: float) -> float:
    rockwell, scale = zip(*HRC_TO_VICKERS, strict=True)
    return float(np.interp(vickers, scale, rockwell))


def hrc_of_brinell(brinell: float) -> float:
    rockwell, scale = zip(*HRC_TO_BRINELL, strict=True)
    return float(np.interp(brinell, scale, rockwell))
