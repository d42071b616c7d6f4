/** The lines of formats.md section 3 that fix the output's columns, copied as they stand. */
const LINES = `
- \`participants.csv\`: \`participant,sex,birth_year,height_cm,mass_kg,left_hand_area_cm2,right_hand_area_cm2,hand_area_u_cm2,left_hand_area_u_cm2,right_hand_area_u_cm2,left_hand_area_method,right_hand_area_method,consent,film_consent,film_sharing_consent\`
- \`calibrations.csv\`: \`sensor,hand,intercept_raw,sensitivity_raw_per_kpa,sensitivity_u,residual_sd_kpa,nonlinearity_pct_fs,hysteresis_pct_fs,check_start_kpa,check_end_kpa,verdict\`
- \`trials.csv\`: \`trial,participant,attempt,condition,status,exclusion_reason,check,check_reason,section_m,section_time_s,velocity_m_s,velocity_m_s_u,cycle_time_s,cycle_time_s_u,stroke_rate_cpm,stroke_length_m,idc_pct,idc_pct_u,idc_left_pct,idc_right_pct,high_hand_s,high_hand_s_u,entry_position,peak_force_left_n,peak_force_left_n_u,peak_force_right_n,peak_force_right_n_u,mean_force_left_n,mean_force_left_n_u,mean_force_right_n,mean_force_right_n_u,impulse_left_ns,impulse_left_ns_u,impulse_right_ns,impulse_right_ns_u,force_symmetry_pct,force_symmetry_pct_u,sync_offset_s,sync_rate,sync_residual_s,zero_shift_left_kpa,zero_shift_right_kpa,strokes_left,strokes_right,strokes_measured,strokes_judged,propulsion_basis,rater,left_sensor,right_sensor,flags\`
- \`strokes.csv\`: \`trial,participant,hand,stroke,in_section,entry_position,entry_height_cm,entry_height_cm_u,breath,exclusion_reason,water_entry_s,full_reach_s,hand_below_shoulder_s,propulsion_start_s,shoulder_plane_s,propulsion_end_s,water_exit_s,idc_pct,high_hand_s,high_hand_s_u,entry_catch_pct,pull_pct,push_pct,recovery_pct,peak_force_n,peak_force_n_u,mean_force_n,mean_force_n_u,impulse_ns,impulse_ns_u,flags\`
- \`refused.csv\`: \`file,line,reason\`
`;

const listed = [...LINES.matchAll(/^- `(\w+)\.csv`: `([\w,]+)`/gm)].map(
  ([, name, columns]) => [name!, columns!.split(',')] as const,
);

/** Column names of every table of the dataset, in order. */
export const COLUMNS: ReadonlyMap<string, readonly string[]> = new Map(listed);
