/** A plan that asks every test of formats.md section 4 of the invented study. */
const POSITIONS = ['above', 'level', 'below'];
const CELLS = [POSITIONS, ['female', 'male']];
const IDC = { outcome: 'idc_pct', by: 'entry_position' };

export const QUESTIONS = [
  { id: 'welch', kind: 'planned', ...IDC, groups: ['above', 'level'], test: 'welch' },
  { id: 'student', kind: 'planned', outcome: 'mean_force_left_n', by: 'sex', test: 'student' },
  {
    id: 'paired',
    kind: 'planned',
    outcome: 'idc_pct',
    by: 'condition',
    groups: ['paddles', 'sprint'],
    test: 'paired',
  },
  {
    id: 'equivalence',
    outcome: 'velocity_m_s',
    by: 'entry_position',
    groups: ['above', 'level'],
    test: 'equivalence',
    margin: 0.08,
    confidence: 0.9,
  },
  { id: 'exact ranks', ...IDC, groups: ['above', 'level'], test: 'mann_whitney' },
  {
    id: 'tied ranks',
    outcome: 'idc_left_pct',
    by: 'sex',
    test: 'mann_whitney',
    unit: 'participant_best',
    best: { by: 'velocity_m_s', highest: true },
  },
  {
    id: 'tied pairs',
    outcome: 'idc_left_pct',
    by: 'condition',
    groups: ['sprint', 'paddles'],
    test: 'wilcoxon',
  },
  {
    id: 'exact pairs',
    outcome: 'idc_pct',
    by: 'condition',
    groups: ['sprint', 'paddles'],
    test: 'wilcoxon',
    keep: { where: { entry_position: ['above'] } },
  },
  { id: 'welch anova', ...IDC, groups: POSITIONS, test: 'welch_anova' },
  { id: 'anova', ...IDC, groups: POSITIONS, test: 'anova' },
  { id: 'anova none', outcome: 'height_free', by: 'sex', test: 'anova' },
  { id: 'two ways', outcome: 'idc_pct', by: ['entry_position', 'sex'], groups: CELLS, test: 'anova2' },
  {
    id: 'two ways 3',
    outcome: 'idc_pct',
    by: ['entry_position', 'sex'],
    groups: CELLS,
    test: 'anova2',
    squares: 3,
  },
  { id: 'kruskal', outcome: 'idc_left_pct', by: 'entry_position', groups: POSITIONS, test: 'kruskal' },
  { id: 'counts', counts: ['entry_position', 'sex'], groups: CELLS, test: 'chi_square' },
  {
    id: 'fisher 2',
    counts: ['entry_position', 'sex'],
    groups: [
      ['above', 'level'],
      ['female', 'male'],
    ],
    test: 'fisher',
  },
  { id: 'fisher 3', counts: ['entry_position', 'sex'], groups: CELLS, test: 'fisher' },
  { id: 'pearson', outcome: 'idc_pct', on: 'velocity_m_s', test: 'pearson' },
  { id: 'spearman', outcome: 'strokes.peak_force_n', on: 'velocity_m_s', test: 'spearman' },
  { id: 'line', outcome: 'mean_force_left_n', on: 'velocity_m_s', test: 'regression' },
  { id: 'mixed within', outcome: 'idc_pct', by: 'condition', groups: ['sprint', 'paddles'], test: 'mixed' },
  { id: 'mixed between', outcome: 'idc_pct', by: 'sex', test: 'mixed' },
  { id: 'repeat', outcome: 'velocity_m_s', test: 'repeatability' },
] as const;

export const PLAN = {
  format: 'lanebench-plan/1',
  name: 'every test',
  stated: '2026-03-01',
  unit: 'participant_mean',
  keep: { status: ['accepted', 'recorded'], check: ['good'] },
  confidence: 0.95,
  adjust: 'holm',
  questions: QUESTIONS,
};
