import { mount } from 'svelte';
import { makeClient } from '../client.ts';
import App from '../shell/App.svelte';
import '../theme/base.css';
import { look } from '../theme/theme.svelte.ts';

look.start();
mount(App, { target: document.getElementById('app')!, props: { client: makeClient() } });
