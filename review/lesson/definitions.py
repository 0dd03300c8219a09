"""What each kind of number is, in a sentence: for whoever gets the numbers without the tool."""

DEFINITIONS = {
    "hip_turn_deg": "direction, seen from above, of the line from trail hip to lead hip, change from address; a "
    "horizontal projection, not the turn about the spine",
    "shoulder_turn_deg": "direction, seen from above, of the line from trail shoulder to lead shoulder, change from "
    "address; a horizontal projection, not the turn about the spine",
    "trail_heel_lift_cm": "rise of the trail heel over its own height at address",
    "hip_shift_cm": "movement of the middle of the hips along the target line from address",
    "heel_off_ms": "time before impact at which the trail heel's lift passes 2 cm",
    "trail_foot_twist_deg": "change from address of the direction from trail heel to trail toe, seen from above, while "
    "the heel is down",
    "trail_foot_slip_cm": "movement of the ball of the trail foot on the ground between top and impact, along the "
    "target line",
    "trail_foot_slip_to_toes_cm": "movement of the ball of the trail foot on the ground between top and impact, toward "
    "the toes",
    "trail_foot_slip_length_cm": "length of the movement of the ball of the trail foot on the ground between top and "
    "impact",
    "backswing_s": "time from address to top",
    "downswing_s": "time from top to impact",
    "tempo_ratio": "backswing time over downswing time",
    "pressure_share_pct": "the lead foot's part of the vertical force under both feet",
    "pressure_position_pct": "place of the centre of pressure between the feet, along the target line: 0 trail foot, "
    "100 lead foot",
    "pressure_move_cm": "distance on the mat from where the pressure is at the top",
    "pressure_direction_deg": "direction on the mat from where the pressure is at the top: 0 toward the target",
    "pressure_path_cm": "length of the way of the centre of pressure from top to impact",
    "pressure_speed_cm_s": "fastest movement of the centre of pressure along the target line between top and impact",
    "pressure_return_cm": "how far the pressure goes away from the target again between arm level and impact",
    "pressure_peak_ms": "time before impact at which the pressure is nearest to the target, after the top",
    "loading_rate_bw_s": "steepest rise of the whole vertical force between top and impact, in body weights (the force "
    "at address)",
    "lead_loading_rate_bw_s": "steepest rise of the vertical force under the lead foot between top and impact, in body "
    "weights (the force at address)",
    "club_speed_mph": "speed of the club head at impact",
    "ball_speed_mph": "speed of the ball just after impact",
    "club_path_deg": "direction, seen from above, in which the club head moves at impact, against the target line",
    "face_angle_deg": "direction, seen from above, in which the club face looks at impact, against the target line",
    "face_to_path_deg": "face angle less club path",
    "attack_angle_deg": "angle of the club head's movement at impact against the ground",
    "dynamic_loft_deg": "loft of the face at impact against the vertical",
    "launch_angle_deg": "angle of the ball's first movement against the ground",
    "launch_direction_deg": "direction, seen from above, of the ball's first movement, against the target line",
    "spin_rpm": "turns of the ball in a minute just after impact",
    "back_spin_rpm": "part of the spin about the level axis across the flight",
    "side_spin_rpm": "part of the spin about the upright axis",
    "spin_axis_deg": "tilt of the spin's axis against the ground",
    "carry_yd": "distance flown until the ball is back at the height of its start",
    "total_yd": "distance with bounce and roll",
    "offline_yd": "distance from the target line at which the ball comes down",
    "height_yd": "greatest height of the flight",
    "strike_across_mm": "place of the strike on the face from its centre, along the face",
    "strike_up_mm": "place of the strike on the face from its centre, up the face",
}
"""By the name of the kind (``measures.KINDS``); its unit, sign and source stand there."""
