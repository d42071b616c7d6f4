/** Where this work can hurt someone. Shown at the first start and behind the bar's button ever after. */
export const CAUTIONS: readonly { readonly about: string; readonly says: string }[] = [
  {
    about: 'Electricity and water',
    says: 'Near the pool use isolated battery power only; never a device on mains power within reach of the water. The local electrical code decides.',
  },
  {
    about: 'Supervision',
    says: 'Nobody swims without a lifeguard or the supervision that the pool’s rules ask for.',
  },
  {
    about: 'Shoulder pain',
    says: 'A swimmer whose shoulder hurts stops at once; the trial is over.',
  },
  {
    about: 'Consent and minors',
    says: 'Nobody is measured or filmed without consent. For a minor: a guardian’s consent and the swimmer’s own assent.',
  },
  {
    about: 'Not a diagnosis',
    says: 'The numbers are information for training. They diagnose nothing and clear nobody to swim.',
  },
  {
    about: 'What comes first',
    says: 'The advice of licensed practitioners and the local rules come before anything this program says.',
  },
];
