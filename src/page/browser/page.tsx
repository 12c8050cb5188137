import { render } from 'preact';

render(<p>pluckwork</p>, document.body);
