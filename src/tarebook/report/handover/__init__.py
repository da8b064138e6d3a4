"""The page that is handed on with a row that is not finished."""
