"""Parts of pages that several pages share: forms, pictures, what is advised."""
