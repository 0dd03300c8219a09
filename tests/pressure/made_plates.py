"""Force platforms of a C3D file written with ezc3d from closed-form forces: a force F at r has the moment r x F."""

import ezc3d
import numpy as np

RATE_HZ = 1000.0


def write_plates(path, loads, middles_mm=((0.0, 0.0), (500.0, 0.0)), unit="mm"):
    """Plates (type 2, z down) 400 by 600 mm; ``loads``: place in the room (2, n) mm, force down (n,), shear (2, n)."""
    analogs, corners = [], []
    for (x_mm, y_mm), (place, down, shear) in zip(middles_mm, loads, strict=True):
        # the plate's own axes: x as the room's, y and z the other way
        r = np.stack([place[0] - x_mm, -(place[1] - y_mm), np.zeros_like(down)])
        force = np.stack([shear[0], -shear[1], down])
        analogs += [*force, *np.cross(r, force, axis=0)]
        corners.append(
            np.array([(200, -300, 0), (-200, -300, 0), (-200, 300, 0), (200, 300, 0)]).T
            + np.array([[x_mm], [y_mm], [0.0]])
        )
    c = ezc3d.c3d()
    n = analogs[0].shape[0]
    c["parameters"]["POINT"]["RATE"]["value"] = [100.0]
    c["parameters"]["POINT"]["UNITS"]["value"] = [unit]
    analog = c["parameters"]["ANALOG"]
    analog["RATE"]["value"] = [RATE_HZ]
    analog["LABELS"]["value"] = [f"ch{i}" for i in range(len(analogs))]
    analog["UNITS"]["value"] = (["N"] * 3 + ["Nmm"] * 3) * len(loads)
    analog["SCALE"]["value"] = [1.0] * len(analogs)
    analog["OFFSET"]["value"] = [0] * len(analogs)
    for name, value in (
        ("USED", [len(loads)]),
        ("TYPE", [2] * len(loads)),
        ("ZERO", [0, 0]),
        ("CORNERS", np.stack(corners, axis=2)),
        ("ORIGIN", np.zeros((3, len(loads)))),
        ("CHANNEL", np.arange(1.0, 6 * len(loads) + 1).reshape(len(loads), 6).T),
    ):
        c.add_parameter("FORCE_PLATFORM", name, value)
        if name not in ("CORNERS", "ORIGIN"):  # whole numbers, which ezc3d makes fractions of
            kept = c["parameters"]["FORCE_PLATFORM"][name]
            kept["type"], kept["value"] = ezc3d.ezc3d.INT, np.asarray(kept["value"]).astype(int)
    c["data"]["points"] = np.zeros((4, 0, n // 10))
    c["data"]["analogs"] = np.stack(analogs)[None]
    c.write(str(path))
