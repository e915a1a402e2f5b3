"""The invented scenario and its simulator: recordings and photos whose truth is known.

``chain`` and ``pulses`` simulate recordings, ``prints`` and ``photo`` render contact prints,
``build`` makes the demo study of them and ``compare`` sets what was measured beside the truth. They
are imported from their modules: whoever simulates a pulse should not have to load a typesetter.
"""
