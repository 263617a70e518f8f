"""The window itself: menus, actions, dialogs and the side; the last to be opened."""
