import "node:module";
import { fileURLToPath } from "node:url";
import { svelte } from "@sveltejs/vite-plugin-svelte";
import { defineConfig } from "electron-vite";
// electron.config.ts
const __electron_vite_injected_import_meta_url = "file:///work/main/electron.config.ts";
const here = (path) => fileURLToPath(new URL(path, __electron_vite_injected_import_meta_url));
var electron_config_default = defineConfig({
	main: { build: {
		outDir: "out/main",
		rollupOptions: {
			input: { main: here("main/desktop/main.ts") },
			external: ["better-sqlite3"]
		}
	} },
	preload: { build: {
		outDir: "out/preload",
		rollupOptions: {
			input: { preload: here("main/desktop/preload.ts") },
			output: {
				format: "cjs",
				entryFileNames: "[name].cjs",
				codeSplitting: false
			}
		}
	} },
	renderer: {
		root: here("renderer"),
		plugins: [svelte()],
		build: {
			outDir: here("out/renderer"),
			rollupOptions: { input: here("renderer/index.html") }
		}
	}
});
export { electron_config_default as default };

//# sourceMappingURL=data:application/json;charset=utf-8;base64,eyJ2ZXJzaW9uIjozLCJmaWxlIjoiZWxlY3Ryb24uY29uZmlnLmpzIiwibmFtZXMiOltdLCJzb3VyY2VzIjpbIi93b3JrL21haW4vZWxlY3Ryb24uY29uZmlnLnRzIl0sInNvdXJjZXNDb250ZW50IjpbImltcG9ydCB7IGZpbGVVUkxUb1BhdGggfSBmcm9tICdub2RlOnVybCc7XG5pbXBvcnQgeyBzdmVsdGUgfSBmcm9tICdAc3ZlbHRlanMvdml0ZS1wbHVnaW4tc3ZlbHRlJztcbmltcG9ydCB7IGRlZmluZUNvbmZpZyB9IGZyb20gJ2VsZWN0cm9uLXZpdGUnO1xuXG5jb25zdCBoZXJlID0gKHBhdGg6IHN0cmluZykgPT4gZmlsZVVSTFRvUGF0aChuZXcgVVJMKHBhdGgsIGltcG9ydC5tZXRhLnVybCkpO1xuXG5leHBvcnQgZGVmYXVsdCBkZWZpbmVDb25maWcoe1xuICBtYWluOiB7XG4gICAgYnVpbGQ6IHtcbiAgICAgIG91dERpcjogJ291dC9tYWluJyxcbiAgICAgIHJvbGx1cE9wdGlvbnM6IHsgaW5wdXQ6IHsgbWFpbjogaGVyZSgnbWFpbi9kZXNrdG9wL21haW4udHMnKSB9LCBleHRlcm5hbDogWydiZXR0ZXItc3FsaXRlMyddIH0sXG4gICAgfSxcbiAgfSxcbiAgcHJlbG9hZDoge1xuICAgIGJ1aWxkOiB7XG4gICAgICBvdXREaXI6ICdvdXQvcHJlbG9hZCcsXG4gICAgICByb2xsdXBPcHRpb25zOiB7XG4gICAgICAgIGlucHV0OiB7IHByZWxvYWQ6IGhlcmUoJ21haW4vZGVza3RvcC9wcmVsb2FkLnRzJykgfSxcbiAgICAgICAgLy8gQSBzYW5kYm94ZWQgcHJlbG9hZCBpcyBsb2FkZWQgYXMgYSBwbGFpbiBzY3JpcHQ6IG9uZSBDb21tb25KUyBmaWxlLlxuICAgICAgICBvdXRwdXQ6IHsgZm9ybWF0OiAnY2pzJywgZW50cnlGaWxlTmFtZXM6ICdbbmFtZV0uY2pzJywgY29kZVNwbGl0dGluZzogZmFsc2UgfSxcbiAgICAgIH0sXG4gICAgfSxcbiAgfSxcbiAgcmVuZGVyZXI6IHtcbiAgICByb290OiBoZXJlKCdyZW5kZXJlcicpLFxuICAgIHBsdWdpbnM6IFtzdmVsdGUoKV0sXG4gICAgYnVpbGQ6IHsgb3V0RGlyOiBoZXJlKCdvdXQvcmVuZGVyZXInKSwgcm9sbHVwT3B0aW9uczogeyBpbnB1dDogaGVyZSgncmVuZGVyZXIvaW5kZXguaHRtbCcpIH0gfSxcbiAgfSxcbn0pO1xuIl0sIm1hcHBpbmdzIjoiOzs7OztBQUFnSSxNQUFNLDJDQUEyQztBQUlqTCxNQUFNLFFBQVEsU0FBaUIsY0FBYyxJQUFJLElBQUksTUFBQSx3Q0FBcUIsQ0FBQztBQUUzRSxJQUFBLDBCQUFlLGFBQWE7Q0FDMUIsTUFBTSxFQUNKLE9BQU87RUFDTCxRQUFRO0VBQ1IsZUFBZTtHQUFFLE9BQU8sRUFBRSxNQUFNLEtBQUssc0JBQXNCLEVBQUU7R0FBRyxVQUFVLENBQUMsZ0JBQWdCO0VBQUU7Q0FDL0YsRUFDRjtDQUNBLFNBQVMsRUFDUCxPQUFPO0VBQ0wsUUFBUTtFQUNSLGVBQWU7R0FDYixPQUFPLEVBQUUsU0FBUyxLQUFLLHlCQUF5QixFQUFFO0dBRWxELFFBQVE7SUFBRSxRQUFRO0lBQU8sZ0JBQWdCO0lBQWMsZUFBZTtHQUFNO0VBQzlFO0NBQ0YsRUFDRjtDQUNBLFVBQVU7RUFDUixNQUFNLEtBQUssVUFBVTtFQUNyQixTQUFTLENBQUMsT0FBTyxDQUFDO0VBQ2xCLE9BQU87R0FBRSxRQUFRLEtBQUssY0FBYztHQUFHLGVBQWUsRUFBRSxPQUFPLEtBQUsscUJBQXFCLEVBQUU7RUFBRTtDQUMvRjtBQUNGLENBQUMifQ==