"""The flat pattern: bends, tabs, relief cuts; folded up again and measured."""
