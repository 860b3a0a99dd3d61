window.ripewardCompare("cultivars/glass-lemon", {"name":"Glass Lemon","facts":[["Crop","Citrus"],["Ripening odds","not counted"],["Class","Potted evergreen"]],"odds":[]});
