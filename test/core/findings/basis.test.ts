/** What is told where trials of a comparison do not have propulsion from one source. */
import { describe, expect, it } from 'vitest';
import { basisSays } from '../../../core/findings/basis.ts';

const trial = (basis: string) => ({ day: 'd', trial: basis, participant: 'P', cells: [basis] }) as never;
const tables = { trials: { columns: ['propulsion_basis'], rows: [] } } as never;
const says = (columns: readonly string[], ...bases: string[]) =>
  basisSays({ tables }, columns, [{ trials: bases.map(trial) }]);

describe('trials put together', () => {
  it('are told apart where propulsion was not marked alike', () => {
    expect(says(['idc_pct'], 'force', 'video', 'video')).toMatch(/from force in 1, from film in 2\./);
    expect(says(['velocity_m_s', 'strokes.mean_force_n'], 'force', 'video')).not.toBeNull();
    expect(says(['idc_left_pct'], 'mixed')).toMatch(/partly from force, partly from film in 1\./);
  });

  it('stand beside an index of coordination also where all were marked alike', () => {
    expect(says(['idc_pct'], 'force', 'force', '')).toMatch(/propulsion from force in all/);
    expect(says(['strokes.idc_pct'], 'video')).toMatch(/propulsion from film in all/);
  });

  it('are let be where it was, where none was, or where nothing rests on it', () => {
    expect(says(['idc_pct'], '', '')).toBeNull();
    expect(says(['strokes.mean_force_n'], 'force', 'force')).toBeNull();
    expect(says(['velocity_m_s'], 'force', 'video')).toBeNull();
    expect(says(['high_hand_s'], 'force', 'video')).toBeNull();
  });
});
