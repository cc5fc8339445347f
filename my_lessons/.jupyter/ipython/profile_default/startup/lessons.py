import mixlib.panel.form.desk, mixlib.panel.surfaces
del mixlib
