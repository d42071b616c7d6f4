import { configure } from '@testing-library/svelte';

// A machine with two cores may be busy: what is waited for gets the time it needs.
configure({ asyncUtilTimeout: 60_000 });
